package pages

import (
	"slices"
	"testing"

	"overhang/internal/ask"
)

// A picture of throws holds throws only, and is left out where the page asks for runs.
func TestCalledOnly(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		name   string
		called []string // the page's own filter
		only   string
		want   []string
		some   bool
	}{
		{"all plays stay all", nil, "", nil, true},
		{"the page's filter stays", []string{"run"}, "", []string{"run"}, true},
		{"all plays are narrowed", nil, "pass", []string{"pass"}, true},
		{"a filter that holds it stays", []string{"run", "pass"}, "pass", []string{"run", "pass"}, true},
		{"a filter without it leaves none", []string{"run"}, "pass", []string{"run"}, false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			t.Parallel()
			filters := map[string][]string{"down": {"3"}}
			if tc.called != nil {
				filters["called"] = tc.called
			}
			got, some := calledOnly(ask.Scope{Filters: filters}, tc.only)
			if some != tc.some || !slices.Equal(got.Filters["called"], tc.want) {
				t.Errorf("calledOnly(%v, %q) = %v, %v; want %v, %v", tc.called, tc.only,
					got.Filters["called"], some, tc.want, tc.some)
			}
			if !slices.Equal(filters["called"], tc.called) {
				t.Errorf("the page's own filter became %v, want %v", filters["called"], tc.called)
			}
			if !slices.Equal(got.Filters["down"], []string{"3"}) {
				t.Errorf("the down became %v, want 3", got.Filters["down"])
			}
		})
	}
}
