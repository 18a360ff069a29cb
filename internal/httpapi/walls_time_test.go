package httpapi_test

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	trace "go.opentelemetry.io/proto/otlp/trace/v1"

	"overhang/internal/staff"
)

// TestSameQueries: a foreign program costs the statements that one costs which never was, so
// that the time of a 404 does not tell them apart: by a session and by a token.
func TestSameQueries(t *testing.T) {
	into, c, store, stop := traced(t)
	c.person(store, "theirs", "stranger", staff.Owner)
	token := c.person(store, "ours", "head", staff.Owner)
	b := browse(t, c.url)
	b.post(200, "/sign-in", url.Values{"login": {"head"}, "password": {password}})
	session := []string{"Cookie", "overhang=" + b.cookies["overhang"].Value}
	asks := map[string]*http.Response{}
	for i, code := range []string{"theirs", "never"} {
		for k, header := range [][]string{nil, session} {
			who := map[int]*client{0: token, 1: c}[k]
			id := strings.Repeat(string(rune('a'+2*i+k)), 32)
			asks[id], _ = who.do("GET", "/v1/programs/"+code+"/plays", "",
				append(header, "traceparent", "00-"+id+"-b7ad6b7169203331-01")...)
			if asks[id].StatusCode != 404 {
				t.Errorf("%s: %d", code, asks[id].StatusCode)
			}
		}
	}
	stop()
	names := map[byte][]string{}
	for _, s := range into.spans {
		if s.Kind == trace.Span_SPAN_KIND_SERVER && s.TraceId[0] >= 0xaa {
			names[s.TraceId[0]] = into.under(s.SpanId)
		}
	}
	if !slices.Equal(names[0xaa], names[0xcc]) || !slices.Equal(names[0xbb], names[0xdd]) || len(names[0xbb]) != 2 {
		t.Errorf("statements: foreign by token %v, never one %v; by session %v, %v", names[0xaa], names[0xcc], names[0xbb],
			names[0xdd])
	}
}
