package httpapi_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/url"
	"regexp"
	"slices"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
)

// A maker makes values up, mostly as a schema describes them.
type maker struct {
	r     *rand.Rand
	words []string // that mean something to the server
}

func (g *maker) pick(vs ...string) string { return vs[g.r.IntN(len(vs))] }

// any is what nobody expects.
func (g *maker) any() string {
	return g.pick("", " ", "\x00", "'", `"`, "%", "..", "../../etc/passwd", "\u202eabc", "ÿ", "\xff\xfe", "NaN", "-0",
		"1e309", "9223372036854775808", "null", "true", "[]", "{}", "=1+1",
		"a,b,,c", strings.Repeat("x", 5000), "💥", "2026-13-45", "SELECT", "\\", "\r\nX: y", "0x10",
		g.words[g.r.IntN(len(g.words))])
}

// text is a value as a parameter carries it.
func (g *maker) text(s *openapi3.Schema) string {
	switch v := g.value(s, 0).(type) {
	case string:
		return v
	case []any, map[string]any, nil:
		return g.any()
	default:
		return fmt.Sprint(v)
	}
}

func (g *maker) value(s *openapi3.Schema, depth int) any {
	if g.r.IntN(25) == 0 {
		return g.any()
	}
	if g.r.IntN(40) == 0 {
		return []any{nil, 0, -1, 1.5, true, []any{}, map[string]any{}}[g.r.IntN(7)]
	}
	if len(s.Enum) > 0 {
		return s.Enum[g.r.IntN(len(s.Enum))]
	}
	for _, refs := range []openapi3.SchemaRefs{s.OneOf, s.AnyOf, s.AllOf} {
		if len(refs) > 0 {
			return g.value(refs[g.r.IntN(len(refs))].Value, depth)
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
		v := lo + g.r.Float64()*(hi-lo)
		if s.Type.Is("integer") {
			return int(v)
		}
		return v
	case s.Type.Is("boolean"):
		return g.r.IntN(2) == 0
	case s.Type.Is("array"):
		out := []any{}
		for range g.r.IntN(4) {
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
			if !p.ReadOnly && (slices.Contains(s.Required, name) || g.r.IntN(2) == 0) {
				out[name] = g.value(p, depth+1)
			}
		}
		return out
	}
	return g.word(s)
}

func (g *maker) word(s *openapi3.Schema) string {
	switch {
	case s.Format == "uuid" || g.r.IntN(3) == 0:
		return g.words[g.r.IntN(len(g.words))]
	case s.Pattern != "":
		return g.pick("1", "a", "3-1", `"1"`, "11", "P1 hitch@5, P2 corner@12", g.any())
	}
	return g.pick("down", "concept", "run", "3", "1", "7-10", "cover 1", "quarters match", "2x2", "smash", "P1 go", "left",
		"o1", g.any())
}

// request makes up a request of an operation.
func (g *maker) request(o *operation) (method, path, body string, header []string) {
	path = o.path
	query := url.Values{}
	for _, ps := range []openapi3.Parameters{o.item.Parameters, o.op.Parameters} {
		for _, p := range ps {
			v := p.Value
			if !v.Required && g.r.IntN(4) > 0 {
				continue
			}
			switch s := g.text(v.Schema.Value); v.In {
			case "path":
				if v.Name == "program" && g.r.IntN(20) > 0 {
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
	if g.r.IntN(15) == 0 {
		query.Add("no_such", g.any())
	}
	if b := o.op.RequestBody; b != nil {
		kinds := make([]string, 0, 2)
		for k := range b.Value.Content {
			kinds = append(kinds, k)
		}
		slices.Sort(kinds)
		kind := kinds[g.r.IntN(len(kinds))]
		header = append(header, "Content-Type", kind)
		if kind == "application/json" {
			raw, _ := json.Marshal(g.value(b.Value.Content[kind].Schema.Value, 0))
			body = string(raw)
		} else {
			body = g.any()
		}
		if g.r.IntN(30) == 0 {
			body = body[:len(body)/2]
		}
	}
	if q := query.Encode(); q != "" {
		path += "?" + q
	}
	return o.method, path, body, header
}
