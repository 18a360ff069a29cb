package ask_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/stress/call"
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// near says that two numbers agree to the published decimals.
func near(a, b float64) bool { return math.Abs(a-b) < 5e-5 }

// TestTendenciesScoreAndShare: 5 of 10 lie between .2366 and .7634, 9 of 10 between .5959
// and .9821 (Wilson, 95%; the tables of ../shared/checks/published.md, 1.1, CALC).
func TestTendenciesScoreAndShare(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	kind := func(n int, down, called string) []snap { return times(n, snap{"down": down, "called": called}) }
	s.snaps = slices.Concat(kind(5, "1", "run"), kind(5, "1", "pass"), kind(9, "", "pass"), kind(1, "", "run"))
	in := s.about(nil)
	whole, err := ask.Tendencies(context.Background(), s, in, []string{"down"}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if whole.Total != 20 || len(whole.Cells) != 2 || whole.LeftOut["success: unknown"] != 2 || len(whole.LeftOut) != 1 {
		t.Fatalf("%+v; want 20 plays in two cells, and what was left out without the zeros", whole)
	}
	first, unknown := &whole.Cells[0], &whole.Cells[1]
	if *first.Keys["down"] != "1" || first.RunShare != .5 || !near(first.RunLow, .236593) || !near(first.RunHigh,
		.763407) ||
		first.Share != .5 ||
		first.Thin {
		t.Errorf("first down: %+v", first)
	}
	if down, told := unknown.Keys["down"]; !told || down != nil || unknown.RunShare != .1 ||
		!near(1-unknown.RunLow, .982124) || !near(1-unknown.RunHigh, .595850) || unknown.SuccessRate != nil {
		t.Errorf("no down tagged: %+v", unknown)
	}
	within, err := ask.Tendencies(context.Background(), s, in, []string{"down", "called"}, []string{"down"})
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]float64{}
	for _, c := range within.Cells {
		down := "?"
		if c.Keys["down"] != nil {
			down = *c.Keys["down"]
		}
		got[down+" "+*c.Keys["called"]] = c.Share
	}
	for group, want := range map[string]float64{"1 run": .5, "1 pass": .5, "? pass": .9, "? run": .1} {
		if got[group] != want {
			t.Errorf("the share of %s in its down: %v, want %v (all: %v)", group, got[group], want, got)
		}
	}
}

// TestScoreIsTendencys: every count of a cell goes where it belongs; a mean of 12 yards over
// four known gains is 3.
func TestScoreIsTendencys(t *testing.T) {
	t.Parallel()
	x := tags.Cell{Plays: 8, Runs: 3, Passes: 5, GainSum: 12, GainKnown: 4, Successes: 7, SuccessKnown: 20, Explosives: 1,
		ExplosiveKnown: 29, Completions: 3, Throws: 8, DepthSum: 18, DepthKnown: 3, TimeSum: 5, TimeKnown: 2}
	s := ask.Score(&x, 263)
	for name, tt := range map[string]struct{ got, want float64 }{
		"mean gain":           {*s.MeanGain, 3},
		"mean depth":          {*s.MeanDepth, 6},
		"mean time":           {*s.MeanTime, 2.5},
		"runs of known calls": {s.Run.Share, .375},
		"run, low (3/8)":      {s.Run.Low, .136844},
		"run, high (3/8)":     {s.Run.High, .694258},
		"success (7/20)":      {s.Success.Share, .35},
		"success, low":        {s.Success.Low, .181192},
		"success, high":       {s.Success.High, .567146},
		"explosive (1/29)":    {s.Explosive.Low, .0061},
		"explosive, high":     {s.Explosive.High, .1718},
		"completions (3/8)":   {s.Completion.Share, .375},
		"share of all":        {s.Share.Share, 8.0 / 263},
	} {
		if !near(tt.got, tt.want) {
			t.Errorf("%s: %v, want %v (Newcombe 1998 and published.md 1.1)", name, tt.got, tt.want)
		}
	}
}

// TestMissedRulesAreShares: 81 of 263 is .2553 to .3662 (Newcombe 1998, table I, method 3); a
// rule nobody was asked about has the widest limits and no share.
func TestMissedRulesAreShares(t *testing.T) {
	t.Parallel()
	got := ask.MissedRules([]tags.RuleCount{
		{Group: "linebackers", Call: "cover 1", Man: "Mike", When: "else", Do: "man back", Answered: 263, Missed: 81,
			Jerseys: []string{"54"}},
		{Group: "safeties"}})
	if len(got) != 2 || got[0].Group != "linebackers" || got[0].Call != "cover 1" || got[0].Man != "Mike" ||
		got[0].When != "else" || got[0].Do != "man back" || got[0].Jerseys[0] != "54" {
		t.Fatalf("%+v", got)
	}
	if !near(got[0].Share, 81.0/263) || !near(got[0].Low, .2553) || !near(got[0].High, .3662) {
		t.Errorf("81 of 263: %v (%v to %v)", got[0].Share, got[0].Low, got[0].High)
	}
	if none := ask.MissedRules(nil); none == nil || len(none) != 0 {
		t.Errorf("no counts: %#v, want an empty list", none)
	}
}

// TestSeen: the values an opponent was seen with, the most frequent first, the unknown one
// and those of other opponents left out.
func TestSeen(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	s.snaps = append(s.snaps, times(9, snap{"opponent": "K", "down": "4"})...)
	got, err := ask.Seen(
		context.Background(),
		s,
		s.about(map[string][]string{"down": {"9"}}),
		"personnel",
		"down",
		"hash",
	)
	if err != nil {
		t.Fatal(err)
	}
	for d, want := range map[string]string{"personnel": "11 12", "down": "1 4 3", "hash": "left right"} {
		if strings.Join(got[d], " ") != want {
			t.Errorf("%s: %v, want %s", d, got[d], want)
		}
	}
}

// TestTrendAsksForItsGames: the recent games and those before them, none in both.
func TestTrendAsksForItsGames(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	s.snaps = nil
	for game := 1; game <= 9; game++ { // game n has n plays
		s.snaps = append(s.snaps, times(game, snap{"called": "run", "games_ago": fmt.Sprint(game)})...)
	}
	for _, tt := range []struct{ recent, earlier, after, before int }{{1, 1, 1, 2}, {2, 3, 3, 3 + 4 + 5},
		{3, ask.AllGames, 6, 45 - 6}} {
		got, err := ask.Trend(context.Background(), s, s.about(nil), ask.TrendQuestion{Of: "called", Recent: tt.recent,
			Earlier: tt.earlier, FalseShare: .05})
		if err != nil {
			t.Fatal(err)
		}
		if got.Trend.After != tt.after || got.Trend.Before != tt.before || got.Recent != tt.recent ||
			got.Earlier != tt.earlier {
			t.Errorf("%d games and %d before: %+v; want %d plays and %d before", tt.recent, tt.earlier, got, tt.after,
				tt.before)
		}
	}
}

// TestTellsAskOnlyWhatIsOpen: without a list all that can be read before the snap is asked,
// but what the situations or the filters hold fixed.
func TestTellsAskOnlyWhatIsOpen(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	ctx, q := context.Background(), ask.TellsQuestion{Of: []string{"called"}, FalseShare: .05}
	asked := func(in ask.Scope, q ask.TellsQuestion) int {
		s.asked = nil
		if _, err := ask.Tells(ctx, s, in, q); err != nil {
			t.Fatal(err)
		}
		return len(s.asked)
	}
	all := asked(s.about(nil), q)
	if n := asked(s.about(map[string][]string{"down": {"1"}, "opponent": {"K"}}), q); n != all-1 {
		t.Errorf("on one down %d tables are asked, else %d: down is no question any more", n, all)
	}
	held := q
	held.Within = []string{"down", "distance_band"}
	if n := asked(s.about(nil), held); n != all-2 {
		t.Errorf("situation by situation %d tables are asked, else %d", n, all)
	}
	two := q
	two.Of, two.By = []string{"called", "concept"}, []string{"personnel"}
	if n := asked(s.about(nil), two); n != 2 {
		t.Errorf("two outcomes by one dimension: %d tables", n)
	}
	// 11 personnel always passes and 12 always runs: 24 and 6 plays, which Fisher's exact test
	// gives 1 in C(30,6).
	q.By = []string{"personnel"}
	got, err := ask.Tells(ctx, s, s.about(map[string][]string{"opponent": {"K"}}), q)
	if err != nil || got.Plays != 30 || len(got.Tells.Tells) != 1 {
		t.Fatalf("%+v, %v", got, err)
	}
	if tell := got.Tells.Tells[0]; !tell.Stands || math.Abs(tell.P*593775-1) > 1e-6 {
		t.Errorf("%+v; want it to stand with p 1/593775", tell)
	}
}

// TestSnapsListsItsGamesOnce: in the order of the plays, each game with its label.
func TestSnapsListsItsGamesOnce(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	s.games = []tags.Game{{Meta: fresh(), Label: "one"}, {Meta: fresh(), Label: "two"}, {Meta: fresh(), Label: "other"}}
	for _, g := range []int{1, 1, 0, 0, 0} {
		s.counted = append(s.counted, tags.Play{Meta: fresh(), GameID: s.games[g].ID})
	}
	got, err := ask.Snaps(context.Background(), s, s.about(nil))
	if err != nil || got.Plays != 5 || len(got.Items) != 5 || got.Items[2].GameID != s.games[0].ID {
		t.Fatalf("%+v, %v", got, err)
	}
	if len(got.Games) != 2 || got.Games[0].Label != "two" || got.Games[1].Label != "one" {
		t.Errorf("games %+v", got.Games)
	}
	s.counted = nil
	if none, err := ask.Snaps(context.Background(), s, s.about(nil)); err != nil || none.Items == nil ||
		none.Games == nil {
		t.Errorf("no play: %#v, %v; want empty lists", none, err)
	}
	s.counted = make([]tags.Play, 20_001)
	if _, err = ask.Snaps(context.Background(), s, s.about(nil)); kindOf(err) != tags.Invalid {
		t.Errorf("20,001 snaps: %v; want a refusal", err)
	}
}

// TestConceptPicturesNeedPlays: most frequent first, those with fewer plays than asked for
// left out but counted.
func TestConceptPicturesNeedPlays(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	for least, want := range map[int]string{0: "smash zone", 1: "smash zone", 6: "smash zone", 7: "smash", 24: "smash",
		25: ""} {
		got, err := ask.ConceptPictures(context.Background(), s, s.about(nil), least)
		if err != nil {
			t.Fatal(err)
		}
		var names []string
		for _, k := range got.Items {
			names = append(names, k.Concept)
		}
		if strings.Join(names, " ") != want || got.Plays != 30 || got.Items == nil {
			t.Errorf("%d plays at least: %v of %d plays; want %q of 30", least, names, got.Plays, want)
		}
	}
}

// TestBreakDepths: quartiles of 1 to 9 by the hand; without a depth nothing is said of it.
func TestBreakDepths(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	s.depths = []tags.DepthGroup{
		{Keys: []*string{ptr("3")}, Number: 1, Eligible: "receiver", Route: "hitch", N: 12, Targeted: 4,
			Depths: []float64{1, 2, 3, 4, 5, 6, 7, 8, 9}},
		{Keys: []*string{nil}, Number: 2, Eligible: "back", Route: "flat", N: 3}}
	got, err := ask.BreakDepths(context.Background(), s, s.about(nil), []string{"down"})
	if err != nil || len(got.Items) != 2 || got.By[0] != "down" {
		t.Fatalf("%+v, %v", got, err)
	}
	if x := got.Items[0]; x.DepthKnown != 9 || x.Plays != 12 || x.Targeted != 4 || *x.MedianYd != 5 || *x.LeastYd != 1 ||
		*x.MostYd != 9 || *x.LowerYd != 3 || *x.UpperYd != 7 || *x.Keys["down"] != "3" {
		t.Errorf("nine depths: %+v", x)
	}
	if x := got.Items[1]; x.DepthKnown != 0 || x.MedianYd != nil || x.LeastYd != nil || x.Keys["down"] != nil {
		t.Errorf("no depth: %+v", x)
	}
}

// TestEstimatesOfASituation: filters of the chain say which situations are asked for, even
// where nobody was; the others say which plays count.
func TestEstimatesOfASituation(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	estimate := func(filters map[string][]string) *ask.Estimates {
		t.Helper()
		got, err := ask.Estimate(context.Background(), s, s.about(filters), "called", []string{"down"})
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	all := estimate(map[string][]string{"opponent": {"K"}})
	if len(all.Items) != 2 || all.Counted != 30 {
		t.Errorf("no down asked for: %+v; want both downs with 30 plays", all)
	}
	fourth := estimate(map[string][]string{"opponent": {"K"}, "down": {"4"}})
	if len(fourth.Items) != 1 || fourth.Items[0].Plays != 0 || !fourth.Items[0].Thin {
		t.Fatalf("fourth down: %+v", fourth)
	}
	sum := 0.0
	for _, o := range fourth.Items[0].Outcomes {
		sum += o.Estimate
	}
	if math.Abs(sum-1) > 1e-9 || fourth.Items[0].Outcomes[0].Outcome != "pass" {
		t.Errorf("of a down nobody saw, the shares come to %v: %+v", sum, fourth.Items[0].Outcomes)
	}
	if none := estimate(map[string][]string{"opponent": {"nobody"}}); none.Items == nil || len(none.Items) != 0 {
		t.Errorf("no play: %#v; want an empty list", none.Items)
	}
}

// TestSituations: those the opponent was in, in the order of a call sheet, with the plays of
// each; where too few were, the board is that of all plays; no situation that the filters
// exclude.
func TestSituations(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	got, err := ask.Situations(context.Background(), s, s.about(nil))
	if err != nil {
		t.Fatal(err)
	}
	var told []string
	for _, x := range got.Situations {
		told = append(told, fmt.Sprintf("%s: %d of %d, whole %v", x.Name, x.Plays, x.Board.Covered, x.Whole))
	}
	want := []string{"1st and 7-10: 26 of 26, whole false", "3rd and 4-6: 4 of 30, whole true",
		"11 personnel: 24 of 24, whole false"}
	if tendency.Thin != 8 {
		t.Fatalf("the plays above are written for 8 as thin, it is %d", tendency.Thin)
	}
	if !slices.Equal(told, want) || got.Plays != 30 || len(got.Calls) != 2 {
		t.Errorf("%v\nof %d plays with %d calls; want\n%v\nof 30 with 2", told, got.Plays, len(got.Calls), want)
	}
	third, err := ask.Situations(context.Background(), s, s.about(map[string][]string{"down": {"3"}}))
	if err != nil || len(third.Situations) != 1 || third.Situations[0].Name != "3rd and 4-6" {
		t.Errorf("third down alone: %+v, %v", third.Situations, err)
	}
}

// TestFindCellOfARun: a run is found among the runs whose family nobody tagged as well.
func TestFindCellOfARun(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	cell, err := ask.FindCell(
		context.Background(),
		s,
		ask.CellQuestion{Scope: s.about(map[string][]string{"family": {"run"}}),
			Concept: "zone", Call: "cover 1"},
	)
	if err != nil || cell.Concept.Concept != "zone" || cell.Call.Name != "cover 1" || cell.Concept.Plays != 6 {
		t.Fatalf("%+v, %v", cell, err)
	}
	smash := ask.CellQuestion{Scope: s.about(map[string][]string{"family": {"run"}}), Concept: "smash"}
	if _, err = ask.FindCell(context.Background(), s, smash); kindOf(err) != tags.NotFound {
		t.Errorf("a pass among the runs: %v", err)
	}
	played, err := cell.Play(context.Background())
	if err != nil || played.Answer(false).Run == nil {
		t.Errorf("the run played: %v; want what it meets", err)
	}
	column, err := cell.Column(context.Background())
	if err != nil || len(column.Rows) != 2 || len(column.Concepts) != 1 {
		t.Errorf("its column: %d calls, %d concepts, %v; want 2 and 1", len(column.Rows), len(column.Concepts), err)
	}
}

// TestBenchHoldsEverythingElse: a cell's call is weighed over all they run in the situation,
// its own concept first and once.
func TestBenchHoldsEverythingElse(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	_, b, err := ask.CellBench(context.Background(), s, ask.CellQuestion{Scope: s.about(nil), Concept: "zone",
		Call: "cover 1"})
	if err != nil || len(b.Run.Concepts) != 2 || b.Run.Concepts[0].Concept != "zone" ||
		b.Run.Concepts[1].Concept != "smash" {
		t.Fatalf("%+v, %v; want zone, then smash", b, err)
	}
	if _, err := b.SweepBreak(context.Background(), "P1", 6, 5); !slices.Equal(wrongFields(err), []string{"to_yd"}) {
		t.Errorf("a sweep from 6 to 5 yards: %v; want a refusal of to_yd", err)
	}
}

// TestTryChangesNothingStored: a trial of a deeper break plays the deeper picture, and of
// everything each concept stands beside.
func TestTryChangesNothingStored(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	q := ask.TrialQuestion{Call: json.RawMessage(`"cover 3 spot"`), Concept: "smash", SetName: "2x2", Family: "dropback",
		Everything: true, Timeline: true}
	as, err := ask.Try(context.Background(), s, s.about(nil), q)
	if err != nil {
		t.Fatal(err)
	}
	if as.Play.Picture != "P1 hitch@5, P2 corner@12, B1 go" || as.Play.Timeline == nil || len(as.Everything) != 2 ||
		as.AllGivesUp == nil {
		t.Fatalf("%q, %d concepts", as.Play.Picture, len(as.Everything))
	}
	q.Picture, q.Everything, q.Timeline = "P1 hitch@5, P2 corner@15, B1 go", false, false
	deeper, err := ask.Try(context.Background(), s, s.about(nil), q)
	if err != nil || deeper.Play.Picture != "P1 hitch@5, P2 corner@15, B1 go" || deeper.Everything == nil ||
		len(deeper.Everything) > 0 || deeper.AllGivesUp != nil || deeper.Play.Timeline != nil {
		t.Errorf("%+v, %v", deeper, err)
	}
	written := q
	written.Call = s.calls[1].Body // the same call, written out
	if got, err := ask.Try(context.Background(), s, s.about(nil), written); err != nil || got.Play.Call != "cover 1" {
		t.Errorf("a call written out: %v", err)
	}
}

// TestOurMenPlayAtTheirPace: a man the program says is slower gives up no less, and the board
// of that opponent alone knows it.
func TestOurMenPlayAtTheirPace(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	c, err := call.Lookup("cover 1")
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range c.Slots {
		s.program.Settings.OurMen = append(s.program.Settings.OurMen, tags.OurMan{Name: m.Position(), Pace: "slower",
			Opponent: "K"})
	}
	row := func(of int) plan.Row {
		t.Helper()
		in := s.about(nil)
		in.Opponent = s.opponents[of]
		b, err := ask.Board(context.Background(), s, in)
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(b.Rows, func(r plan.Row) bool { return r.Call == "cover 1" })
		return b.Rows[i]
	}
	slow, other := row(0), row(1)
	s.program.Settings.OurMen = nil
	even, otherEven := row(0), row(1)
	if slow.Points <= even.Points || other.Points != otherEven.Points {
		t.Errorf("against K %v with slower men and %v with even ones, against L %v and %v", slow.Points, even.Points,
			other.Points, otherEven.Points)
	}
}

// TestPositions: those of most calls first, each man of a call once, a word kept for nobody
// last.
func TestPositions(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	s.program.Settings.PositionNames = []tags.PositionName{{Position: "Rover", Name: "Bandit"},
		{Position: "FREE SAFETY", Name: "Eyes"}}
	got, err := ask.Positions(context.Background(), s, s.program)
	if err != nil || len(got) == 0 {
		t.Fatal(got, err)
	}
	seen := map[string]int{}
	for i, p := range got {
		seen[strings.ToLower(p.Position)]++
		if i > 0 && len(p.Calls) > len(got[i-1].Calls) {
			t.Errorf("%s is in %d calls and stands after one of %d", p.Position, len(p.Calls), len(got[i-1].Calls))
		}
	}
	if seen["free safety"] != 1 {
		t.Errorf("the free safety is there %d times", seen["free safety"])
	}
	if last := got[len(got)-1]; last.Position != "Rover" || last.Calls == nil || len(last.Calls) != 0 {
		t.Errorf("the last is %+v; want Rover, of no call", last)
	}
}

// TestCheckCall: a call of the book is taken as it stands; of a broken one every fault is told
// with its place and the man.
func TestCheckCall(t *testing.T) {
	t.Parallel()
	good := book(t, "cover 3 spot", true)
	if err := ask.CheckCall(context.Background(), &good); err != nil {
		t.Fatal(err)
	}
	bad := good
	bad.Body = []byte(strings.Replace(string(good.Body), "zone middle third", "zone upper deck", 1))
	err := ask.CheckCall(context.Background(), &bad)
	e := tags.As(err)
	if e == nil || e.Kind != tags.Invalid || len(e.Faults) == 0 || len(e.Fields) == 0 ||
		!strings.HasPrefix(e.Faults[0].Path, "/") || !strings.Contains(e.Error(), "upper deck") ||
		!strings.HasPrefix(e.Fields[0].Field, "body: ") {
		t.Errorf("a zone there is not: %+v", err)
	}
}

// TestBookIsTheBuiltInCalls: every call of the book by a name of its own.
func TestBookIsTheBuiltInCalls(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for _, c := range ask.Book() {
		if _, err := call.Lookup(c.Name); err != nil || seen[c.Name] {
			t.Errorf("%q: %v, twice %v", c.Name, err, seen[c.Name])
		}
		seen[c.Name] = true
	}
	if !seen["cover 3 spot"] || len(seen) != len(call.Book()) {
		t.Errorf("%d calls", len(seen))
	}
}

// TestReviewIsOfThePlansGame: a plan for one game is held against that game, unless the
// question names games itself; situations the bands no longer define are named.
func TestReviewIsOfThePlansGame(t *testing.T) {
	t.Parallel()
	s := busy(t)
	other := tags.Game{Meta: fresh(), OpponentID: s.opponents[0].ID, Label: "G2", Ours: true}
	s.games = append(s.games, other)
	later := tags.Play{Meta: fresh(), GameID: other.ID, Down: ptr(3), DistanceYd: ptr(5)}
	s.oursPlays = append(s.oursPlays, later)
	s.ours[later.ID] = snap{"down": "3", "distance_band": "4-6", "game": "G2"}
	for name, tt := range map[string]struct {
		filters map[string][]string
		plays   int
	}{"its own": {nil, 1}, "another": {map[string][]string{"game": {"G2"}}, 1},
		"both": {map[string][]string{"game": {"G1", "G2"}}, 2}, "a down": {map[string][]string{"down": {"1"}}, 0}} {
		got, err := ask.Review(context.Background(), s, s.about(tt.filters), s.plans[0].ID, true)
		if err != nil {
			t.Fatal(err)
		}
		if got.Review.Plays != tt.plays || got.Head.Label != "week" || len(got.Gone) != 0 {
			t.Errorf("%s: %d plays, gone %v; want %d", name, got.Review.Plays, got.Gone, tt.plays)
		}
		if name == "its own" && (got.Filters["game"][0] != "G1" || len(got.Review.Situations) != 1 ||
			got.Review.Situations[0].Plays != 1) {
			t.Errorf("its own game: %v, %+v", got.Filters, got.Review.Situations)
		}
	}
}

// TestAgreementAndSettling go through to the study of the same tags.
func TestAgreementAndSettling(t *testing.T) {
	t.Parallel()
	s := busy(t)
	s.blind[0].Tags.DistanceYd, s.blind[1].Tags.DistanceYd = ptr(5), ptr(7)
	a, err := ask.Agreement(context.Background(), s, s.program.ID, uuid.Nil)
	if err != nil || a.Clips != 1 || strings.Join(a.Analysts, " ") != "ana ben" {
		t.Errorf("%+v, %v", a, err)
	}
	d, same, err := ask.Differing(context.Background(), s, s.program.ID, uuid.Nil)
	if err != nil || len(d) != 1 || len(d[0].Open) != 1 || d[0].Open[0].Field != "distance_yd" || same.Clips != 1 ||
		string(d[0].Open[0].Values["ben"]) != "7" {
		t.Errorf("%+v, %v", d, err)
	}
	p, err := ask.Settled(context.Background(), s, s.program.ID, uuid.New(), map[string]string{"distance_yd": "ben"})
	if err != nil || *p.Down != 3 || *p.DistanceYd != 7 {
		t.Errorf("%+v, %v", p, err)
	}
}

// TestSnapshotIsMadeOnAMillisecond: as the identities of plays are, so that a play of the
// same moment is not taken for an earlier one (RFC 9562, 5.7).
func TestSnapshotIsMadeOnAMillisecond(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	got, err := ask.Snapshot(context.Background(), s, s.program, s.opponents[0].ID)
	if err != nil || got.MadeAt.Truncate(time.Millisecond) != got.MadeAt || got.MadeAt.Location() != time.UTC ||
		got.Plays != 30 || len(got.Situations) != 3 {
		t.Errorf("%v, %d plays, %d situations, %v", got.MadeAt, got.Plays, len(got.Situations), err)
	}
	for _, x := range got.Situations {
		if len(x.Choice.Calls) > 0 || len(x.Calls) != 2 {
			t.Errorf("%s: %d calls, chosen %v; want 2 and nothing chosen", x.Name, len(x.Calls), x.Choice.Calls)
		}
	}
}
