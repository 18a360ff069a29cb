package httpapi

import (
	"encoding/json"
	"maps"
	"net/http"
	"slices"
	"strings"
	"sync"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/labstack/echo/v4"

	"overhang/api"
	"overhang/internal/contract"
	"overhang/internal/pages"
	"overhang/internal/wire"
)

// A telling is the document in the forms that it is told in beside its own.
type telling struct {
	operations []pages.Operation
	asJSON     []byte
}

// told is made once however many servers there are.
var told = sync.OnceValues(func() (*telling, error) {
	doc, err := openapi3.NewLoader().LoadFromData(api.Document)
	if err != nil {
		return nil, err
	}
	raw, err := doc.MarshalJSON()
	return &telling{operationsOf(doc), raw}, err
})

// documentRoutes serve the contract: as it is written, as JSON, and as a page.
func (s *server) documentRoutes(e *echo.Echo) error {
	tell, err := told()
	if err != nil {
		return err
	}
	fixed(e, "/openapi.yaml", "application/yaml", api.Document)
	fixed(e, "/openapi.json", "application/json", tell.asJSON)
	e.GET("/docs", func(c echo.Context) error { return s.pages.Documented(c, tell.operations) })
	e.GET(wire.ProblemsPath, func(c echo.Context) error { return s.pages.Problems(c, wire.Problems) })
	e.GET(wire.ProblemsPath+"/:name", func(c echo.Context) error {
		p, ok := wire.Problem(c.Param("name"))
		if !ok {
			return echo.ErrNotFound
		}
		return s.pages.Problems(c, []wire.ProblemType{p})
	})
	return nil
}

// fixed serves bytes that never change while the server runs.
func fixed(e *echo.Echo, path, kind string, body []byte) {
	e.GET(path, func(c echo.Context) error {
		c.Response().Header().Set("Cache-Control", "no-cache")
		return c.Blob(http.StatusOK, kind, body)
	})
}

// operationsOf lists what the document has, for its page, by path and method.
func operationsOf(doc *openapi3.T) (out []pages.Operation) {
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			o := pages.Operation{ID: op.OperationID, Method: method, Path: path, Summary: op.Summary,
				About: strings.TrimSpace(op.Description), Needs: string(contract.RoleFor(method, op))}
			for _, p := range slices.Concat(item.Parameters, op.Parameters) {
				o.Parameters = append(o.Parameters, pages.Parameter{Name: p.Value.Name, In: p.Value.In,
					Required: p.Value.Required, About: p.Value.Description, Example: indented(p.Value.Example)})
			}
			if op.RequestBody != nil {
				o.Takes = kinds(op.RequestBody.Value.Content)
				o.Sent = example(op.RequestBody.Value.Content)
			}
			o.Answers, o.Got = responsesOf(op)
			out = append(out, o)
		}
	}
	slices.SortFunc(out, func(a, b pages.Operation) int {
		return strings.Compare(a.Path+" "+a.Method, b.Path+" "+b.Method)
	})
	return out
}

// responsesOf lists what an operation answers, by status, with an example of what it is for.
func responsesOf(op *openapi3.Operation) (out []pages.Response, got string) {
	for _, status := range slices.Sorted(maps.Keys(op.Responses.Map())) {
		r := op.Responses.Value(status).Value
		a := pages.Response{Status: status, Kinds: kinds(r.Content)}
		if r.Description != nil {
			a.About = *r.Description
		}
		if status < "300" && got == "" {
			got = example(r.Content)
		}
		out = append(out, a)
	}
	return out, got
}

// example is what a body's kinds show of it, the first by name.
func example(c openapi3.Content) string {
	for _, kind := range kinds(c) {
		for _, name := range slices.Sorted(maps.Keys(c[kind].Examples)) {
			return indented(c[kind].Examples[name].Value.Value)
		}
	}
	return ""
}

// indented is a value of the document as a person reads it; text as it stands, "" for nothing.
func indented(v any) string {
	if s, ok := v.(string); ok || v == nil {
		return s
	}
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if e.Encode(v) != nil { // it was read as JSON
		return ""
	}
	return strings.TrimSpace(b.String())
}

func kinds(c openapi3.Content) (out []string) {
	for kind := range c {
		out = append(out, kind)
	}
	slices.Sort(out)
	return out
}
