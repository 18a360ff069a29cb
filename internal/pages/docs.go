package pages

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"

	"overhang/internal/staff"
)

// An Operation is one thing the API does, as its document has it.
type Operation struct {
	ID, Method, Path, Summary, About string
	Needs                            string // the role it takes, "" for nobody's
	Parameters                       []Parameter
	Takes                            []string // kinds of bodies
	Sent, Got                        string   // an example of a body and of the answer to it, indented JSON; "" for none
	Answers                          []Response
}

// A Parameter is one of an operation's.
type Parameter struct {
	Name, In, About, Example string
	Required                 bool
}

// A Response is one answer it may give.
type Response struct {
	Status, About string
	Kinds         []string
}

// Operations lists what the document has, for its page, by path and method; needs says the role
// that an operation takes.
func Operations(doc *openapi3.T, needs func(string, *openapi3.Operation) staff.Role) (out []Operation) {
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			o := Operation{ID: op.OperationID, Method: method, Path: path, Summary: op.Summary,
				About: strings.TrimSpace(op.Description), Needs: string(needs(method, op))}
			for _, p := range slices.Concat(item.Parameters, op.Parameters) {
				o.Parameters = append(o.Parameters, Parameter{Name: p.Value.Name, In: p.Value.In,
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
	slices.SortFunc(out, func(a, b Operation) int {
		return strings.Compare(a.Path+" "+a.Method, b.Path+" "+b.Method)
	})
	return out
}

// responsesOf lists what an operation answers, by status, with an example of what it is for.
func responsesOf(op *openapi3.Operation) (out []Response, got string) {
	for _, status := range slices.Sorted(maps.Keys(op.Responses.Map())) {
		r := op.Responses.Value(status).Value
		a := Response{Status: status, Kinds: kinds(r.Content)}
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
