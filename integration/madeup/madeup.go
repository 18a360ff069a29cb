// Package madeup makes requests up by the API's document: mostly as it describes them, some as
// nobody expects.
package madeup

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"

	"overhang/internal/staff"
)

// An Operation of the document, and whose it is.
type Operation struct {
	Method, Path string
	item         *openapi3.PathItem
	op           *openapi3.Operation
}

// Operations are the document's, in an order.
func Operations(document []byte) (ops []Operation, err error) {
	doc, err := openapi3.NewLoader().LoadFromData(document)
	if err != nil {
		return nil, err
	}
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			ops = append(ops, Operation{method, path, item, op})
		}
	}
	slices.SortFunc(ops, func(a, b Operation) int { return strings.Compare(a.Path+a.Method, b.Path+b.Method) })
	return ops, nil
}

// Need is the least role the document asks for: the one it names, else a reader to
// read and an analyst to write.
func (o *Operation) Need() staff.Role {
	if name, ok := o.op.Extensions["x-needs"].(string); ok {
		return staff.Role(name)
	}
	if o.Method == "GET" || o.Method == "HEAD" {
		return staff.Reader
	}
	return staff.Analyst
}

// A Guest is who sends a request: his role in the program "ours", "" for who has none.
type Guest struct {
	Role  staff.Role
	Known bool // he has signed in, here or elsewhere
}

// Wrong says why an answer to a guest must not be, "" when it may. Later (503) is no fault.
func (o *Operation) Wrong(who Guest, path string, status int) string {
	const ours = "/v1/programs/ours"
	of := strings.HasPrefix(path, ours+"/") || strings.HasPrefix(path, ours+"?") || path == ours
	switch {
	case status >= 500 && status != http.StatusServiceUnavailable:
		return "a fault of ours"
	case status >= 300 || !strings.HasPrefix(path, "/v1/"):
		return ""
	case !who.Known:
		return "he has not signed in"
	case of && who.Role == "":
		return "it is not his program"
	case of && !who.Role.Reaches(o.Need()):
		return "it is for a program's " + string(o.Need())
	}
	return ""
}

// A Maker makes values up, mostly as a schema describes them. Words mean something to the server.
type Maker struct {
	R     *rand.Rand
	Words []string
}

func (g *Maker) pick(vs ...string) string { return vs[g.R.IntN(len(vs))] }

// any is what nobody expects.
func (g *Maker) any() string {
	return g.pick("", " ", "\x00", "'", `"`, "%", "..", "../../etc/passwd", "\u202eabc", "ÿ", "\xff\xfe", "NaN", "-0",
		"1e309", "9223372036854775808", "null", "true", "[]", "{}", "=1+1",
		"a,b,,c", strings.Repeat("x", 5000), "💥", "2026-13-45", "SELECT", "\\", "\r\nX: y", "0x10",
		g.Words[g.R.IntN(len(g.Words))])
}

// text is a value as a parameter carries it.
func (g *Maker) text(s *openapi3.Schema) string {
	switch v := g.value(s, 0).(type) {
	case string:
		return v
	case []any, map[string]any, nil:
		return g.any()
	default:
		return fmt.Sprint(v)
	}
}

func (g *Maker) value(s *openapi3.Schema, depth int) any {
	if g.R.IntN(25) == 0 {
		return g.any()
	}
	if g.R.IntN(40) == 0 {
		return []any{nil, 0, -1, 1.5, true, []any{}, map[string]any{}}[g.R.IntN(7)]
	}
	if len(s.Enum) > 0 {
		return s.Enum[g.R.IntN(len(s.Enum))]
	}
	for _, refs := range []openapi3.SchemaRefs{s.OneOf, s.AnyOf, s.AllOf} {
		if len(refs) > 0 {
			return g.value(refs[g.R.IntN(len(refs))].Value, depth)
		}
	}
	switch {
	case s.Type.Is("integer"), s.Type.Is("number"):
		lo, hi := -5.0, 120.0
		if s.Min != nil {
			lo = *s.Min
		}
		if s.Max != nil {
			hi = *s.Max
		}
		v := lo + g.R.Float64()*(hi-lo)
		if s.Type.Is("integer") {
			return int(v)
		}
		return v
	case s.Type.Is("boolean"):
		return g.R.IntN(2) == 0
	case s.Type.Is("array"):
		out := []any{}
		for range g.R.IntN(4) {
			if s.Items != nil {
				out = append(out, g.value(s.Items.Value, depth+1))
			}
		}
		return out
	case s.Type.Is("object"):
		out := map[string]any{}
		if depth > 5 {
			return out
		}
		for _, name := range slices.Sorted(func(yield func(string) bool) {
			for k := range s.Properties {
				if !yield(k) {
					return
				}
			}
		}) {
			p := s.Properties[name].Value
			if !p.ReadOnly && (slices.Contains(s.Required, name) || g.R.IntN(2) == 0) {
				out[name] = g.value(p, depth+1)
			}
		}
		return out
	}
	return g.word(s)
}

func (g *Maker) word(s *openapi3.Schema) string {
	switch {
	case s.Format == "uuid" || g.R.IntN(3) == 0:
		return g.Words[g.R.IntN(len(g.Words))]
	case s.Pattern != "":
		return g.pick("1", "a", "3-1", `"1"`, "11", "P1 hitch@5, P2 corner@12", g.any())
	}
	return g.pick("down", "concept", "run", "3", "1", "7-10", "cover 1", "quarters match", "2x2", "smash", "P1 go", "left",
		"o1", g.any())
}

// Request makes up a request of an operation.
func (g *Maker) Request(o *Operation) (method, path, body string, header []string) {
	path = o.Path
	query := url.Values{}
	for _, ps := range []openapi3.Parameters{o.item.Parameters, o.op.Parameters} {
		for _, p := range ps {
			v := p.Value
			if !v.Required && g.R.IntN(4) > 0 {
				continue
			}
			switch s := g.text(v.Schema.Value); v.In {
			case "path":
				if v.Name == "program" && g.R.IntN(20) > 0 {
					s = "ours"
				}
				path = strings.ReplaceAll(path, "{"+v.Name+"}", url.PathEscape(s))
			case "query":
				query.Add(v.Name, s)
			case "header":
				header = append(header, v.Name, regexp.MustCompile(`[\x00-\x1f\x7f]`).ReplaceAllString(s, ""))
			}
		}
	}
	path = regexp.MustCompile(`\{\w+\}`).ReplaceAllString(path, "x")
	if g.R.IntN(15) == 0 {
		query.Add("no_such", g.any())
	}
	if b := o.op.RequestBody; b != nil {
		kinds := make([]string, 0, 2)
		for k := range b.Value.Content {
			kinds = append(kinds, k)
		}
		slices.Sort(kinds)
		kind := kinds[g.R.IntN(len(kinds))]
		header = append(header, "Content-Type", kind)
		if kind == "application/json" {
			raw, _ := json.Marshal(g.value(b.Value.Content[kind].Schema.Value, 0))
			body = string(raw)
		} else {
			body = g.any()
		}
		if g.R.IntN(30) == 0 {
			body = body[:len(body)/2]
		}
	}
	if q := query.Encode(); q != "" {
		path += "?" + q
	}
	return o.Method, path, body, header
}
