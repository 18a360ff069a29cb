// Package client is the typed client of the API's questions: tendencies, tells,
// trends, estimates, concept pictures, stress, answers and sweeps. It is generated from api/openapi.yaml; after a
// change of the document run go generate ./client.
package client

//go:generate go run github.com/oapi-codegen/oapi-codegen/v2/cmd/oapi-codegen@v2.5.1 -config oapi.yaml ../api/openapi.yaml
