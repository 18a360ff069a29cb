package httpapi_test

import (
	"strings"
	"testing"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/testutil"

	"overhang/internal/httpapi"
	"overhang/internal/tags/postgres/postgrestest"
)

// TestMetrics counts by route: no identity, no query, no made-up method in a label;
// names are held against Prometheus's own linter.
func TestMetrics(t *testing.T) {
	t.Parallel()
	store, _ := postgrestest.New(t)
	r := prometheus.NewRegistry()
	c := clientFor(t, store, httpapi.WithMetrics(r))
	for range 3 {
		c.must(200, "GET", ours+"/plays", "")
	}
	c.must(404, "GET", "/v1/programs/secret-name/plays", "")
	c.do("BREW", "/made-up/secret-path", "")
	fams, err := r.Gather()
	if err != nil {
		t.Fatal(err)
	}
	text, found := "", 0
	for _, f := range fams {
		text += f.String()
		for _, m := range f.GetMetric() {
			labels := ""
			for _, l := range m.GetLabel() {
				labels += l.GetValue() + " "
			}
			if labels == "GET /v1/programs/:program/plays 200 " {
				found = int(m.GetHistogram().GetSampleCount())
			}
		}
	}
	if found != 3 || strings.Contains(text, "secret") || strings.Contains(text, "BREW") {
		t.Errorf("%d requests counted, want 3: %s", found, text)
	}
	problems, err := testutil.GatherAndLint(r)
	if err != nil || len(problems) > 0 {
		t.Errorf("the linter says %v %v", problems, err)
	}
}
