package pages

import (
	"net/url"
	"slices"
	"strings"
	"testing"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/stress/picture"
	"overhang/internal/study"
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// values reads a query.
func values(t *testing.T, query string) url.Values {
	t.Helper()
	q, err := url.ParseQuery(query)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// asks takes an address apart: its path, and its query in one form.
func asks(t *testing.T, at string) (path, query string) {
	t.Helper()
	u, err := url.Parse(at)
	if err != nil {
		t.Fatal(err)
	}
	return u.Path, u.Query().Encode()
}

func explorer(t *testing.T, query string) *Explorer {
	t.Helper()
	set := tags.DefaultSettings()
	return NewExplorer(tags.Opponent{Code: "A&M", Name: "A and M"}, "/programs/us/opponents/A&M", "/programs/us",
		values(t, query), &set)
}

// TestExplorerReadsItsAddress: three known groupings at most, each once, else what is usual.
func TestExplorerReadsItsAddress(t *testing.T) {
	t.Parallel()
	for query, want := range map[string]string{
		"":                                 "down,distance_band",
		"by=":                              "down,distance_band",
		"by=nonsense":                      "down,distance_band",
		"by=gain":                          "down,distance_band", // a dimension that the page does not group by
		"down=3":                           "concept",
		"concept=smash":                    "concept",
		"by=concept":                       "concept",
		"by=concept,concept":               "concept",
		"by=concept&by=down":               "concept,down",
		"by=down,hash,concept,personnel":   "down,hash,concept",
		"by=down,nonsense,hash&concept=go": "down,hash",
	} {
		if got := strings.Join(explorer(t, query).By, ","); got != want {
			t.Errorf("?%s groups by %s, want %s", query, got, want)
		}
	}
	x := explorer(t, "by=down,hash")
	if x.Nth(0) != "down" || x.Nth(1) != "hash" || x.Nth(2) != "" {
		t.Errorf("in their places: %q %q %q", x.Nth(0), x.Nth(1), x.Nth(2))
	}
}

// TestExplorerFilters: each filter stands with the address without it; the opponent, what is
// empty and what is no dimension are none; those without a select are hidden in the form.
func TestExplorerFilters(t *testing.T) {
	t.Parallel()
	x := explorer(t, "by=concept&down=3&coverage=cover+1&opponent=other&hash=&page=2")
	if len(x.Filters) != 2 {
		t.Fatalf("filters %+v", x.Filters)
	}
	for i, want := range []struct{ dimension, value, without string }{
		{"coverage faced", "cover 1", "by=concept&down=3"}, {"down", "3rd", "by=concept&coverage=cover+1"}} {
		f := x.Filters[i]
		path, without := asks(t, f.Without)
		if f.Dimension != want.dimension || f.Value != want.value || without != want.without ||
			path != "/programs/us/opponents/A&M/tendencies" {
			t.Errorf("%+v leads to %s; want %+v", f, without, want)
		}
	}
	if h := x.Hidden(); len(h) != 1 || h[0] != [2]string{"coverage", "cover 1"} {
		t.Errorf("hidden %v", h)
	}
	for _, s := range x.Selects {
		if want := map[string]string{"down": "3"}[s.Dimension]; s.Value != want || len(s.Values) == 0 {
			t.Errorf("the select of %s shows %q of %v, want %q", s.Dimension, s.Value, s.Values, want)
		}
	}
	if x.Split() != true || explorer(t, "called=run").Split() {
		t.Error("a share of runs is shown among runs alone, or not among all plays")
	}
	if got := explorer(t, "").Groupings(); !slices.Equal(got, groupings) {
		t.Errorf("to choose from: %v", got)
	}
}

// TestExplorerLeadsOn: from a group to its snaps, into it, to its drawing, and to the same
// question of the API; what was not tagged is asked for as such.
func TestExplorerLeadsOn(t *testing.T) {
	t.Parallel()
	x := explorer(t, "by=down,concept&hash=left")
	smash, unknown := Group{Keys: []*string{ptr("3"), ptr("smash")}}, Group{Keys: []*string{nil, nil}}
	for at, want := range map[string][2]string{
		x.Snaps(smash):   {"/programs/us/opponents/A&M/snaps", "concept=smash&down=3&hash=left"},
		x.Snaps(unknown): {"/programs/us/opponents/A&M/snaps", "concept=%28unknown%29&down=%28unknown%29&hash=left"},
		x.Inside(smash): {"/programs/us/opponents/A&M/tendencies",
			"by=down%2Cdistance_band&concept=smash&down=3&hash=left"},
		x.Picture(smash): {"/v1/programs/us/opponents/A&M/drawing",
			"caption=false&concept=smash&down=3&hash=left&show=concept&width_mm=60"},
		x.Asked("csv"): {"/v1/programs/us/tendencies", "by=down%2Cconcept&format=csv&hash=left&opponent=A%26M"},
		x.TellSnaps(Told{Dimension: "personnel", Value: "11"}): {"/programs/us/opponents/A&M/snaps",
			"hash=left&personnel=11"},
	} {
		if path, query := asks(t, at); path != want[0] || query != want[1] {
			t.Errorf("%s?%s, want %s?%s", path, query, want[0], want[1])
		}
	}
	run := smash
	run.RunShare = 1
	for name, at := range map[string]string{"no concept tagged": x.Picture(unknown), "a run": x.Picture(run),
		"no concept asked": explorer(t, "by=down").Picture(Group{Keys: []*string{ptr("3")}})} {
		if at != "" {
			t.Errorf("%s is drawn at %s", name, at)
		}
	}
	if _, q := asks(t, explorer(t, "by=down").Inside(Group{Keys: []*string{ptr("3")}})); q != "by=concept&down=3" {
		t.Errorf("inside a down: %s", q)
	}
}

func cell(plays int, keys ...string) ask.CellScored {
	c := ask.CellScored{Plays: plays, Keys: map[string]*string{}}
	for i := 0; i+1 < len(keys); i += 2 {
		if keys[i+1] == "" {
			c.Keys[keys[i]] = nil
		} else {
			c.Keys[keys[i]] = &keys[i+1]
		}
	}
	return c
}

// TestTakeTargets: the deepest band stands first, shares are of all throws whose place is
// known, and a depth nobody tagged has a row of its own.
func TestTakeTargets(t *testing.T) {
	t.Parallel()
	at := func(n int, depth, to string) ask.CellScored {
		return cell(n, "throw_depth_band", depth, "target_area", to)
	}
	x := explorer(t, "")
	x.TakeTargets([]ask.CellScored{at(6, "0-9", "left"), at(2, "20+", "middle"), at(1, "", "right"), at(9, "0-9", ""),
		at(1, "0-9", "left")})
	if x.Targets == nil || x.Targets.Total != 10 {
		t.Fatalf("%+v", x.Targets)
	}
	var rows []string
	for _, r := range x.Targets.Rows {
		rows = append(rows, r.Name)
	}
	if want := slices.Clone(tags.ThrowDepthBands); !slices.Equal(rows, []string{want[3], want[2], want[1], want[0]}) {
		t.Errorf("rows %v", rows)
	}
	left := x.Targets.Rows[2].Cells[0]
	if _, q := asks(t, left.Snaps); left.Plays != 7 || left.Share != .7 || q != "target_area=left&throw_depth_band=0-9" {
		t.Errorf("short to the left: %+v", left)
	}
	if u := x.Targets.Unknown; u == nil || u.Cells[2].Plays != 1 || u.Name != "depth not tagged" ||
		!strings.Contains(u.Cells[2].Snaps, "%28unknown%29") {
		t.Errorf("no depth: %+v", u)
	}
	if a, b := left.Shade(), x.Targets.Rows[0].Cells[0].Shade(); a <= b {
		t.Errorf("7 of 10 throws are shaded %d, none %d", a, b)
	}
	x = explorer(t, "")
	if x.TakeTargets([]ask.CellScored{at(9, "0-9", "")}); x.Targets != nil {
		t.Error("throws whose place nobody tagged make a picture")
	}
	if x.TakeTargets([]ask.CellScored{at(9, "0-9", "left")}); x.Targets.Unknown != nil {
		t.Error("a row for a depth that is always tagged")
	}
}

// TestTakeRuns: a run goes to the gap that the library aims it at, on the side it was run to;
// what nobody knows is counted apart.
func TestTakeRuns(t *testing.T) {
	t.Parallel()
	runs := picture.Runs()
	a := runs[slices.IndexFunc(runs, func(s picture.Scheme) bool { return s.Side > 0 })]
	run := func(n int, concept, side string) ask.CellScored {
		return cell(n, "concept", concept, "play_side", side)
	}
	x := explorer(t, "down=1")
	x.TakeRuns([]ask.CellScored{run(6, strings.ToUpper(a.Concept), "right"), run(3, a.Concept, "left"),
		run(5, "waltz", "left"), run(4, a.Concept, ""), run(2, "", "left")})
	if x.Gaps == nil || x.Gaps.Total != 9 || x.Gaps.Unknown != 11 || len(x.Gaps.Arrows) != 2 {
		t.Fatalf("%+v", x.Gaps)
	}
	l, r := x.Gaps.Arrows[0], x.Gaps.Arrows[1]
	if l.Side != "left" || r.Side != "right" || l.Yards != -r.Yards || r.Yards != gapYards[a.Gap] || l.Plays != 3 ||
		r.Plays != 6 || r.Share != 6.0/9 || l.Gap != a.Gap {
		t.Errorf("arrows %+v and %+v", l, r)
	}
	want := url.Values{"called": {"run"}, "concept": {a.Concept}, "down": {"1"}, "play_side": {"left"}}
	if _, q := asks(t, l.Snaps); q != want.Encode() {
		t.Errorf("its snaps: %s", q)
	}
	at, text := attributes(t, x.Gaps.Picture())
	if len(at["path.way"]) != 2 || !strings.Contains(text, "67%") || !strings.Contains(text, a.Gap+" gap, n 3") ||
		len(at["circle.lineman"]) != 6 {
		t.Errorf("the picture: %d ways, %q", len(at["path.way"]), text)
	}
	x = explorer(t, "")
	if x.TakeRuns([]ask.CellScored{run(5, "waltz", "left")}); x.Gaps != nil {
		t.Error("runs nobody knows make a picture")
	}
}

// TestTakeZonesAndGames: zones stand as on the field, from our own goal; games from the
// first to the last, which is marked.
func TestTakeZonesAndGames(t *testing.T) {
	t.Parallel()
	set := tags.DefaultSettings()
	zone := func(n int, name string) ask.CellScored {
		c := cell(n, "field_zone", name)
		c.Passes = n
		return c
	}
	x := explorer(t, "down=1")
	none := zone(0, "OPP49-21")
	x.TakeZones([]ask.CellScored{zone(1, "GOAL"), zone(5, "OWN1-20"), zone(4, "RED"), zone(7, ""), none}, &set)
	var zones []string
	for _, z := range x.Zones {
		zones = append(zones, z.Zone)
	}
	if strings.Join(zones, " ") != "OWN1-20 RED GOAL" || x.Zones[0].Share != .5 || x.Zones[2].Share != .1 {
		t.Errorf("%+v", x.Zones)
	}
	if _, q := asks(t, x.Zones[1].Only); q != "by=concept&down=1&field_zone=RED" {
		t.Errorf("only the red zone: %s", q)
	}
	game := func(ago, label string, success *float64) ask.CellScored {
		c := cell(8, "games_ago", ago, "game", label)
		c.SuccessRate, c.SuccessLow, c.SuccessHigh = success, success, success
		return c
	}
	x.TakeGames([]ask.CellScored{game("1", "third", nil), game("10", "first", ptr(.5)), game("2", "second", nil),
		cell(3, "games_ago", "4", "game", "")})
	var games []string
	for _, g := range x.Games {
		games = append(games, g.Game)
		if g.Latest != (g.Game == "third") || g.HasSuccess != (g.Game == "first") || g.HasRuns {
			t.Errorf("%+v", g)
		}
	}
	if strings.Join(games, " ") != "first second third" {
		t.Errorf("games %v", games)
	}
}

// TestAskedSaysTheFilters of an address in words, in one order, and nothing else of it.
func TestAskedSaysTheFilters(t *testing.T) {
	t.Parallel()
	got := Asked(values(t, "down=3&field_zone=RED&by=hash&hash=&set_name=2x2"))
	if want := []string{"down: 3rd", "field zone: red zone", "set: 2x2"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

func newBoard(t *testing.T, query string) *Board {
	t.Helper()
	set := tags.DefaultSettings()
	b := NewBoard(tags.Opponent{Code: "K"}, "/programs/us/opponents/K", "/programs/us", values(t, query), &set,
		map[string][]string{"personnel": {"11", "12"}, "set_name": {"2x2"}})
	b.Board = &plan.Board{Concepts: []plan.Concept{{Concept: "smash", SetName: "2x2", Family: "dropback"},
		{Concept: "power", SetName: "2x1", Family: "run"}}}
	return b
}

// TestBoardReadsItsAddress: its selects offer what can be asked, its filters can each be
// taken away, and what no select shows is hidden in the form.
func TestBoardReadsItsAddress(t *testing.T) {
	t.Parallel()
	b := newBoard(t, "down=3&personnel=12&coverage=cover+1&last_games=3&opponent=L&page=2&hash=")
	offers := map[string]Select{}
	for _, s := range b.Selects {
		offers[s.Dimension] = s
	}
	for d, want := range map[string][2]string{"down": {"3", "1 2 3 4"}, "personnel": {"12", "11 12"},
		"set_name": {"", "2x2"}, "last_games": {"3", "1 2 3 5"}, "distance_band": {"", "1-3 4-6 7-10 11+"}} {
		if s := offers[d]; s.Value != want[0] || strings.Join(s.Values, " ") != want[1] {
			t.Errorf("the select of %s: %q of %v, want %v", d, s.Value, s.Values, want)
		}
	}
	if len(b.Filters) != 4 || b.Filters[0].Dimension != "coverage faced" {
		t.Fatalf("filters %+v", b.Filters)
	}
	if path, q := asks(t, b.Filters[1].Without); path != "/programs/us/opponents/K/board" ||
		q != "coverage=cover+1&last_games=3&personnel=12" {
		t.Errorf("without the down: %s?%s", path, q)
	}
	if h := b.Hidden(); len(h) != 1 || h[0] != [2]string{"coverage", "cover 1"} {
		t.Errorf("hidden %v", h)
	}
	for at, want := range map[string]string{b.Snaps(): "coverage=cover+1&down=3&last_games=3&personnel=12",
		b.Asked(""):    "coverage=cover+1&down=3&last_games=3&personnel=12",
		b.Asked("csv"): "coverage=cover+1&down=3&format=csv&last_games=3&personnel=12"} {
		if _, q := asks(t, at); q != want {
			t.Errorf("%s, want %s", q, want)
		}
	}
}

// TestACellIsAskedForAsItIs: an untagged family was read as a dropback, a run's was not.
func TestACellIsAskedForAsItIs(t *testing.T) {
	t.Parallel()
	b := newBoard(t, "down=3")
	for k, want := range []string{"call=cover+1&concept=smash&down=3&family=dropback%2C%28unknown%29&set_name=2x2",
		"call=cover+1&concept=power&down=3&family=run&set_name=2x1"} {
		if path, q := asks(t, b.Cell(plan.Cell{Call: "cover 1", Concept: k})); q != want || !strings.HasSuffix(path,
			"/cell") {
			t.Errorf("%s?%s, want %s", path, q, want)
		}
	}
	if q := b.query.Encode(); q != "down=3" {
		t.Errorf("the board's own question became %s", q)
	}
}

// TestPicks are the calls of the mix, most often first; without a mix the first row.
func TestPicks(t *testing.T) {
	t.Parallel()
	b := newBoard(t, "")
	row := func(call string, share float64, worst int) plan.Row {
		return plan.Row{Call: call, Share: share, Worst: worst, Cells: []plan.Cell{{GivesUp: plan.GivesUp{Points: .1}},
			{GivesUp: plan.GivesUp{Points: .3}}}}
	}
	b.Board.Rows = []plan.Row{row("a", .2, 1), row("b", 0, 0), row("c", .8, 0)}
	p := b.Picks()
	if len(p) != 2 || p[0].Call != "c" || p[1].Call != "a" || p[1].Worst != "power from 2x1" || p[1].At != .3 ||
		p[0].Worst != "smash from 2x2" {
		t.Errorf("%+v", p)
	}
	b.Board.Rows = b.Board.Rows[1:2]
	if p = b.Picks(); len(p) != 1 || p[0].Call != "b" {
		t.Errorf("without a mix: %+v", p)
	}
	b.Board.Rows = []plan.Row{{Call: "d", Worst: -1}}
	if p = b.Picks(); p[0].Worst != "" {
		t.Errorf("nothing hurts it: %+v", p)
	}
	b.Board.Rows = nil
	if p = b.Picks(); len(p) != 0 {
		t.Errorf("no call: %+v", p)
	}
}

// TestApart: the line stands before the first call that another is better than beyond doubt.
func TestApart(t *testing.T) {
	t.Parallel()
	b := newBoard(t, "")
	b.Board.Rows = []plan.Row{{Group: 1}, {Group: 1}, {Group: 2}, {Group: 2}}
	var at []int
	for i := range b.Board.Rows {
		if b.Apart(i) {
			at = append(at, i)
		}
	}
	if !slices.Equal(at, []int{2}) {
		t.Errorf("lines before rows %v, want 2", at)
	}
	b.Board.Rows = []plan.Row{{Group: 2}}
	if b.Apart(0) {
		t.Error("a line before the first row")
	}
}

// TestStudies: what has no name is not shown, forty are shown at most, and each section leads
// to the same question of the API.
func TestStudies(t *testing.T) {
	t.Parallel()
	p := &Studies{Opponent: tags.Opponent{Code: "A&M"}, Base: "/programs/us/opponents/A&M", program: "/programs/us",
		Of: "concept", Tells: &ask.TellsAnswer{}, Estimates: &ask.Estimates{Chain: estimated}}
	p.Tells.Asked = 77
	p.Tells.Tells.Tells = []study.Tell{{Value: "11", Outcome: tendency.Pooled, Stands: true},
		{Value: tendency.Pooled, Outcome: "smash", Stands: true}, {Value: "11", Outcome: "smash", Stands: true}}
	if got := p.Standing(); got != "1 tell of 77 questions" || len(p.Shown()) != 1 {
		t.Errorf("%s, %d shown", got, len(p.Shown()))
	}
	for range 60 {
		p.Tells.Tells.Tells = append(p.Tells.Tells.Tells, study.Tell{Value: "12", Outcome: "smash"})
	}
	if n := len(p.Shown()); n != 40 {
		t.Errorf("%d shown, want 40", n)
	}
	for section, want := range map[string]string{
		"tells":     "/v1/programs/us/tells?format=csv&of=concept&opponent=A%26M",
		"estimates": "/v1/programs/us/estimates?chain=down%2Cdistance_band&format=csv&of=concept&opponent=A%26M",
		"likeness":  "/v1/programs/us/opponents/A&M/likeness?format=csv&of=concept",
		"agreement": "/v1/programs/us/agreement?format=csv", // of all opponents
	} {
		if got := p.Asked(section, "csv"); got != want {
			t.Errorf("%s is asked at %s, want %s", section, got, want)
		}
	}
	e := study.Estimate{Keys: map[string]string{"down": "3", "distance_band": "4-6"}, From: []study.Source{{Weight: .384}},
		Outcomes: make([]study.Outcome, 5)}
	if p.Situation(e) != "3rd and 4-6" || p.Own(e) != "38%" || len(p.Likely(e)) != 3 {
		t.Errorf("%s, %s, %d", p.Situation(e), p.Own(e), len(p.Likely(e)))
	}
	e.Outcomes = e.Outcomes[:2]
	if len(p.Likely(e)) != 2 {
		t.Error("two outcomes are not both told")
	}
	for at, want := range map[string]string{p.SituationSnaps(e): "distance_band=4-6&down=3",
		p.OutcomeSnaps("four & go"): "concept=four+%26+go", p.TellSnaps(study.Tell{Dimension: "hash",
			Value: "left"}): "hash=left"} {
		if _, q := asks(t, at); q != want {
			t.Errorf("%s, want %s", q, want)
		}
	}
}
