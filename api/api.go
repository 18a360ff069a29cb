// Package api holds the contract of the HTTP API.
package api

import _ "embed"

// Document is openapi.yaml.
//
//go:embed openapi.yaml
var Document []byte
