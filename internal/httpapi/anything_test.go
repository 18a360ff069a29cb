package httpapi_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"overhang/api"
)

var (
	requests = flag.Int("requests", 1500, "how many made-up requests TestAnything sends")
	seed     = flag.Uint64("seed", 1, "of TestAnything")
)

// TestAnything sends requests that the OpenAPI document describes, and some that
// it does not: whatever comes, no answer is a 5xx, and none breaks the document.
// Run with -requests 100000 for the whole suite.
func TestAnything(t *testing.T) {
	c, _ := serve(t)
	g := &maker{r: rand.New(rand.NewPCG(*seed, 7)), words: []string{"ours", "o1", "smash", "2x2", "hitch", "cover 1", "week 1"}}
	game := c.season()
	for i := range 12 {
		c.must(201, "POST", ours+"/plays", fmt.Sprintf(`{"game_id":"%s","number":%d,%s}`, game, i+1, smash))
	}
	c.must(201, "POST", ours+"/films", `{"game_id":"`+game+`","location":"a.mp4"}`)
	for _, n := range []string{"opponents", "games", "plays", "words", "films"} {
		_, raw := c.do("GET", ours+"/"+n, "")
		g.words = append(g.words, regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f-]{27}`).FindAllString(raw, 20)...)
	}
	doc, err := openapi3.NewLoader().LoadFromData(api.Document)
	if err != nil {
		t.Fatal(err)
	}
	type operation struct {
		method, path string
		item         *openapi3.PathItem
		op           *openapi3.Operation
	}
	var ops []operation
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			ops = append(ops, operation{method, path, item, op})
		}
	}
	slices.SortFunc(ops, func(a, b operation) int { return strings.Compare(a.path+a.method, b.path+b.method) })
	statuses := map[int]int{}
	for n := range *requests {
		o := ops[n%len(ops)]
		path, header := o.path, []string{}
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
		if path == "/v1/programs//plays" {
			continue
		}
		if g.r.IntN(15) == 0 {
			query.Add("no_such", g.any())
		}
		body := ""
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
		if _, err := http.NewRequest(o.method, c.url+path, nil); err != nil {
			continue
		}
		resp, raw := c.do(o.method, path, body, header...)
		statuses[resp.StatusCode]++
		if resp.StatusCode >= 500 {
			t.Errorf("-seed %d, request %d: %s %s %v %s: %d %s", *seed, n, o.method, path, header, body, resp.StatusCode, raw)
		}
		if t.Failed() && n > 20000 {
			break
		}
	}
	t.Logf("%d requests over %d operations: %v", *requests, len(ops), statuses)
	good := 0
	for code, n := range statuses {
		if code < 300 {
			good += n
		}
	}
	if good*20 < *requests {
		t.Errorf("only %d of %d were answered: the values made up are too wild to reach the code", good, *requests)
	}
}

// A maker makes values up, mostly as a schema describes them.
type maker struct {
	r     *rand.Rand
	words []string // that mean something to the server
}

func (g *maker) pick(vs ...string) string { return vs[g.r.IntN(len(vs))] }

// any is what nobody expects.
func (g *maker) any() string {
	return g.pick("", " ", "\x00", "'", `"`, "%", "..", "../../etc/passwd", "\u202eabc", "ÿ", "\xff\xfe", "NaN", "-0", "1e309", "9223372036854775808", "null", "true", "[]", "{}", "=1+1",
		"a,b,,c", strings.Repeat("x", 5000), "💥", "2026-13-45", "SELECT", "\\", "\r\nX: y", "0x10", g.words[g.r.IntN(len(g.words))])
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
	return g.pick("down", "concept", "run", "3", "1", "7-10", "cover 1", "quarters match", "2x2", "smash", "P1 go", "left", "o1", g.any())
}
