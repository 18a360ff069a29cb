package ask_test

import (
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"overhang/internal/ask"
	"overhang/internal/tags"
)

// TestFilters: dimensions of a query become filters, all else is left alone. What each
// spelling means stands in api/openapi.yaml.
func TestFilters(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		query, want map[string][]string
	}{
		"nothing":               {nil, map[string][]string{}},
		"no dimension":          {map[string][]string{"by": {"down"}, "limit": {"3"}}, map[string][]string{}},
		"one value":             {map[string][]string{"down": {"3"}}, map[string][]string{"down": {"3"}}},
		"values with commas":    {map[string][]string{"down": {"3,4"}}, map[string][]string{"down": {"3", "4"}}},
		"values given twice":    {map[string][]string{"down": {"3", "4"}}, map[string][]string{"down": {"3", "4"}}},
		"what was not tagged":   {map[string][]string{"hash": {"(unknown),left"}}, map[string][]string{"hash": {"", "left"}}},
		"the last game":         {map[string][]string{"last_games": {"1"}}, map[string][]string{"games_ago": {"1"}}},
		"the last two games":    {map[string][]string{"last_games": {"2"}}, map[string][]string{"games_ago": {"1", "2"}}},
		"no last game":          {map[string][]string{"last_games": {"0"}}, map[string][]string{}},
		"more games than there": {map[string][]string{"last_games": {"61"}}, map[string][]string{}},
		"last games in words":   {map[string][]string{"last_games": {"three"}}, map[string][]string{}},
		"last games go before": {map[string][]string{"last_games": {"2"}, "games_ago": {"5"}},
			map[string][]string{"games_ago": {"1", "2"}}},
	} {
		if got := ask.Filters(tt.query); !reflect.DeepEqual(got, tt.want) {
			t.Errorf("%s: %v; want %v", name, got, tt.want)
		}
	}
}

// TestNewOrderTakesWhatItIsGiven: each option sets its own field, at both ends of its range.
func TestNewOrderTakesWhatItIsGiven(t *testing.T) {
	t.Parallel()
	usual := ask.Order{PerPage: 2}
	for query, want := range map[[2]string]ask.Order{
		{"plan", "none"}:       {Plan: ask.NoPlan},
		{"call", "cover 1"}:    {Call: "cover 1"},
		{"defender", "Mike"}:   {Defender: "Mike"},
		{"for_game", "week 3"}: {ForGame: "week 3"},
		{"cards", "1"}:         {Cards: 1},
		{"cards", "60"}:        {Cards: 60},
		{"per_page", "1"}:      {PerPage: 1},
		{"per_page", "6"}:      {PerPage: 6},
		{"minutes", "10"}:      {Minutes: 10},
		{"minutes", "180"}:     {Minutes: 180},
		{"minutes", "92.5"}:    {Minutes: 92.5},
		{"earlier", "true"}:    {Earlier: true},
		{"percent", "true"}:    {Percent: true},
		{"paper", "a4"}:        {A4: true},
		{"paper", "letter"}:    {},
		{"date", ""}:           {}, // an empty field of a form says nothing
		{"cards", ""}:          {},
		{"down", "3"}:          {},
		{"last_games", "60"}:   {},
	} {
		if want.PerPage == 0 {
			want.PerPage = usual.PerPage
		}
		o, err := ask.NewOrder(map[string][]string{query[0]: {query[1]}}, slices.Collect(maps.Keys(ask.Options)))
		if err != nil {
			t.Errorf("%v: %v", query, err)
			continue
		}
		o.Scope, o.Date = ask.Scope{}, time.Time{}
		if !reflect.DeepEqual(*o, want) {
			t.Errorf("%v: %+v; want %+v", query, *o, want)
		}
	}
}

// TestNewOrderNamesEveryBadParameter: one past either end of a range, what is no number, and
// what the report does not take.
func TestNewOrderNamesEveryBadParameter(t *testing.T) {
	t.Parallel()
	all := slices.Collect(maps.Keys(ask.Options))
	for _, bad := range [][2]string{{"cards", "0"}, {"cards", "61"}, {"cards", "1.5"}, {"cards", "many"},
		{"per_page", "0"}, {"per_page", "3"}, {"per_page", "8"}, {"per_page", "02"}, {"minutes", "9.9"},
		{"minutes", "180.1"}, {"minutes", "NaN"}, {"minutes", "Inf"}, {"minutes", "long"}, {"date", "9/4/2026"},
		{"date", "2026-02-30"}, {"earlier", "maybe"}, {"percent", "50"}, {"paper", "a5"}, {"last_games", "0"},
		{"last_games", "61"}, {"last_games", ""}, {"color", "red"}} {
		_, err := ask.NewOrder(map[string][]string{bad[0]: {bad[1]}}, all)
		if got := wrongFields(err); !slices.Equal(got, []string{bad[0]}) {
			t.Errorf("%s=%s: %v names %v; want %s alone", bad[0], bad[1], err, got, bad[0])
		}
	}
	_, err := ask.NewOrder(map[string][]string{"minutes": {"0"}, "cards": {"0"}, "down": {"9"}}, all)
	if got := wrongFields(err); !slices.Equal(got, []string{"cards", "minutes"}) {
		t.Errorf("two bad ones: %v names %v; want both, in order", err, got)
	}
	if _, err = ask.NewOrder(map[string][]string{"cards": {"3"}}, []string{"date"}); !slices.Equal(wrongFields(err),
		[]string{"cards"}) {
		t.Errorf("an option of another report: %v; want it refused as unknown", err)
	}
}

// TestAnOrderIsDatedByTheProgramsClock: today where the staff is, whatever the server says;
// a day that was asked for stays.
func TestAnOrderIsDatedByTheProgramsClock(t *testing.T) {
	t.Parallel()
	// Auckland and Pago Pago are 23 or 24 hours apart (IANA time zone database): of one moment
	// their days differ.
	days := map[string]string{}
	for _, zone := range []string{"Pacific/Auckland", "Pacific/Pago_Pago"} {
		p := tags.Program{Settings: tags.Settings{TimeZone: zone}}
		o, err := ask.NewOrder(nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		o.Date = time.Date(2026, 9, 4, 10, 30, 0, 0, time.UTC)
		o.Of(p)
		days[zone] = o.Date.Format(time.DateOnly)
		asked, err := ask.NewOrder(map[string][]string{"date": {"2026-09-04"}}, []string{"date"})
		if err != nil {
			t.Fatal(err)
		}
		asked.Of(p)
		if got := asked.Date.Format(time.DateOnly); got != "2026-09-04" {
			t.Errorf("a day that was asked for, in %s: %s", zone, got)
		}
	}
	if days["Pacific/Auckland"] != "2026-09-04" || days["Pacific/Pago_Pago"] != "2026-09-03" {
		t.Errorf("half past ten in the morning UTC of the 4th: %v", days)
	}
}

// TestGamesAgo: both ends are in, and nothing is where the end is before the start.
func TestGamesAgo(t *testing.T) {
	t.Parallel()
	for want, span := range map[string][2]int{"1": {1, 1}, "2 3 4": {2, 4}, "": {3, 2}} {
		if got := strings.Join(ask.GamesAgo(span[0], span[1]), " "); got != want {
			t.Errorf("%v: %q; want %q", span, got, want)
		}
	}
}
