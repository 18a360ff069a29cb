package tags

import (
	"net/url"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// FuzzFilters: whatever a query string holds, filters are resolved or refused by
// field, and what was resolved resolves to itself.
func FuzzFilters(f *testing.F) {
	for _, s := range []string{"down=3", "down=3,4&hash=left,", "concept=smsh", "concept=SMASH", "quarter=1&half=second",
		"distance=7&distance_band=7-10", "games_ago=1,2", "personnel=11",
		"previous_concept=new+possession", "called=run&result=sack", "mood=good", "down=%00", "score_state=ahead+9%2B"} {
		f.Add(s)
	}
	smash, set := "smash", DefaultSettings()
	v := NewVocabulary([]Word{{Field: "concept", Word: smash}, {Field: "concept", Word: "smsh", AliasOf: &smash}})
	f.Fuzz(func(t *testing.T, query string) {
		q, err := url.ParseQuery(query)
		if err != nil {
			return
		}
		filters := map[string][]string{}
		for d, vs := range q {
			filters[d] = strings.Split(strings.Join(vs, ","), ",")
		}
		once, err := Resolve(filters, &set, v, nil)
		if err != nil {
			if e := As(err); e == nil || e.Kind != Invalid || len(e.Fields) == 0 {
				t.Fatalf("%q: %v; want a refusal that names the field", query, err)
			}
			return
		}
		twice, err := Resolve(once, &set, v, nil)
		if err != nil || !reflect.DeepEqual(once, twice) {
			t.Fatalf("%q: %v, then %v, %v", query, once, twice, err)
		}
		for d, vs := range once {
			if !slices.Contains(Dimensions, d) {
				t.Fatalf("%q: %q came through", query, d)
			}
			if slices.Contains(vs, "smsh") && d == "concept" {
				t.Fatalf("%q: an alias came through", query)
			}
		}
	})
}
