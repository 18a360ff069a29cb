package ask_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/tags"
)

// predicted is a call of a plan as it was recommended.
func predicted(name string, share float64, against ...float64) plan.Predicted {
	return plan.Predicted{Call: name, Share: share, Against: against}
}

// content is a plan of two situations written by hand: nothing is chosen on third down, and
// the mix there is cover 1 three times in four; on first down cover 3 is chosen.
func content() plan.Content {
	k := func(name string, plays int) plan.Observed {
		return plan.Observed{SetName: "2x2", Concept: name, Family: "dropback", Plays: plays}
	}
	return plan.Content{MadeAt: time.Date(2031, 9, 1, 0, 0, 0, 0, time.UTC), Plays: 40, Situations: []plan.Situation{
		{Name: "1st and 7-10", Where: map[string]string{"down": "1", "distance_band": "7-10"}, Plays: 30, Behind: 30,
			Concepts: []plan.Observed{k("smash", 20), k("flood", 10)},
			Calls:    []plan.Predicted{predicted("cover 1", .5, .3, .4), predicted("cover 3", .5, .4, .3)},
			Choice:   plan.Choice{Calls: []plan.Chosen{{Call: "cover 3", Share: .6}, {Call: "cover 1", Share: .2}}}},
		{Name: "3rd and 4-6", Where: map[string]string{"down": "3", "distance_band": "4-6"}, Plays: 10, Behind: 10,
			Concepts: []plan.Observed{k("flood", 10)},
			Calls: []plan.Predicted{predicted("cover 1", .25, .3), predicted("tampa 2", .75, .2),
				predicted("cover 6", .001, .9)}}}}
}

func stored(t *testing.T, c plan.Content) tags.Plan {
	t.Helper()
	raw, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	return tags.Plan{PlanHead: tags.PlanHead{Meta: fresh(), Label: "week"}, Content: raw}
}

// TestNightOfPlan: what is meant is what was chosen, else the mix without what it calls less
// than once in 200 times; calls and concepts stand most first.
func TestNightOfPlan(t *testing.T) {
	t.Parallel()
	set := tags.DefaultSettings()
	n, err := ask.NightOfPlan(stored(t, content()), &set)
	if err != nil {
		t.Fatal(err)
	}
	var meant []string
	for _, s := range n.Situations {
		meant = append(meant, fmt.Sprint(s.Name, s.Meant))
	}
	want := []string{"1st and 7-10[{cover 3 0.6} {cover 1 0.2}]", "3rd and 4-6[{cover 1 0.25} {tampa 2 0.75}]"}
	if !slices.Equal(meant, want) {
		t.Errorf("meant %v; want %v", meant, want)
	}
	// Cover 3 is meant on .6 of 30 plays, cover 1 on .2 of 30 and .25 of 10, tampa 2 on .75 of 10.
	if got := strings.Join(n.Calls, ", "); got != "cover 3, cover 1, tampa 2, cover 6" {
		t.Errorf("calls %s; 18, 8.5, 7.5 and 0 plays", got)
	}
	if got := strings.Join(n.Concepts, ", "); got != "smash, flood" || len(n.Bands) != len(set.DistanceBands) {
		t.Errorf("concepts %s, %d bands", got, len(n.Bands))
	}
	if _, err := ask.NightOfPlan(tags.Plan{Content: []byte(`{"situations":[{"situation":""}]}`)}, &set); err == nil {
		t.Error("a plan with a situation of no name was read")
	}
	n, err = ask.NightOfPlan(tags.Plan{Content: []byte(`{}`)}, &set)
	if err != nil || n.Calls == nil || n.Concepts == nil || n.Situations == nil {
		t.Errorf("an empty plan: %+v, %v; want empty lists", n, err)
	}
}

// TestPlannedAnswer: which calls a plan carries, by situation and in all.
func TestPlannedAnswer(t *testing.T) {
	t.Parallel()
	p := &ask.PlannedAnswer{Content: content()}
	if got := strings.Join(p.In("1", "7-10"), ", "); got != "cover 3, cover 1" {
		t.Errorf("chosen on first down: %s", got)
	}
	if got := strings.Join(p.In("3", "4-6"), ", "); got != "tampa 2, cover 1" {
		t.Errorf("recommended on third down: %s", got)
	}
	if got := p.In("4", "4-6"); got != nil {
		t.Errorf("a situation that is none of the plan's: %v", got)
	}
	if got := (*ask.PlannedAnswer)(nil).In("1", "7-10"); got != nil {
		t.Errorf("no plan: %v", got)
	}
	if got := strings.Join(p.Called(), ", "); got != "cover 3, cover 1, tampa 2" {
		t.Errorf("called: %s; want each once, as the situations have them", got)
	}
	if p.Chosen() != 1 {
		t.Errorf("chosen in %d situations, want 1", p.Chosen())
	}
}

// TestPlanned: the plan an order is of. Without a locked one there is none, and that is no
// failure; "none" wants none.
func TestPlanned(t *testing.T) {
	t.Parallel()
	s := busy(t)
	order := func(of string) *ask.Order { return &ask.Order{Scope: s.about(nil), Plan: of} }
	got, err := ask.Planned(context.Background(), s, order(""))
	if err != nil || got.Head.Label != "week" || got.ForGame != "G1" || len(got.Calls) != 2 {
		t.Fatalf("the one locked last: %+v, %v", got, err)
	}
	if got, err = ask.Planned(context.Background(), s, order(ask.NoPlan)); got != nil || err != nil {
		t.Errorf("none: %+v, %v", got, err)
	}
	s.locked = nil
	if got, err = ask.Planned(context.Background(), s, order("")); got != nil || err != nil {
		t.Errorf("no plan is locked: %+v, %v", got, err)
	}
	s.plans[0].GameID = nil
	if got, err = ask.Planned(context.Background(), s, order(s.plans[0].ID.String())); err != nil || got.ForGame != "" {
		t.Errorf("a plan for no game: %+v, %v", got, err)
	}
}

// TestAWeekIsOfThePlansCalls: of a plan only its calls are taught, and one asked for by name.
func TestAWeekIsOfThePlansCalls(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	s.calls = append(s.calls, book(t, "quarters match", true))
	of := &ask.PlannedAnswer{Content: plan.Content{Situations: []plan.Situation{{Name: "x", Plays: 1, Behind: 1,
		Concepts: []plan.Observed{{Concept: "smash", Plays: 1}}, Calls: []plan.Predicted{predicted("cover 1", 1, .5)}}}}}
	for name, tt := range map[string]struct {
		of    *ask.PlannedAnswer
		asked string
		want  int
	}{"no plan": {nil, "", 3}, "the plan's": {of, "", 1}, "one more by name": {of, "quarters match", 2},
		"a name nobody has": {of, "cover 9", 1}} {
		w, err := ask.Week(context.Background(), s, s.about(nil), tt.of, tt.asked)
		if err != nil || len(w.Calls) != tt.want {
			t.Errorf("%s: %d calls, %v; want %d", name, len(w.Calls), err, tt.want)
		}
	}
}

// TestReadPlan: each situation with its two prices: the mix of 1st down gives up
// (20(.35)+10(.35))/30, the choice (3 to 1) 20(.375)+10(.325) in 30.
func TestReadPlan(t *testing.T) {
	t.Parallel()
	p := stored(t, content())
	got, err := ask.ReadPlan(p)
	if err != nil || got.Label != "week" || got.Plays != 40 || len(got.Situations) != 2 {
		t.Fatalf("%+v, %v", got, err)
	}
	first, third := got.Situations[0], got.Situations[1]
	if !near(first.Recommended.Observed, .35) || !near(first.Own.Observed, (20*.375+10*.325)/30) || third.Own != nil {
		t.Errorf("prices %+v, %+v and %+v", first.Recommended, first.Own, third.Own)
	}
	if _, err = ask.ReadPlan(tags.Plan{Content: []byte("[]")}); !slices.Equal(wrongFields(err), []string{"content"}) {
		t.Errorf("a plan that is none: %v", err)
	}
}

// TestChangeKeepsThePlanWhenItIsRefused: what is wrong with choices is named by its place, and
// nothing of the plan is changed.
func TestChangeKeepsThePlanWhenItIsRefused(t *testing.T) {
	t.Parallel()
	p := stored(t, content())
	was := string(p.Content)
	choose := func(cs ...plan.ChoiceIn) error {
		return ask.Change(&p, func(o *ask.OpenPlan) error { return o.Choose(cs) })
	}
	pick := func(situation, call string, share float64) plan.ChoiceIn {
		return plan.ChoiceIn{Situation: situation, Choice: plan.Choice{Calls: []plan.Chosen{{Call: call, Share: share}}}}
	}
	for field, bad := range map[string]plan.ChoiceIn{"choices[0].situation": pick("2nd and 1-3", "cover 1", 1),
		"choices[0].calls[0].call":  pick("3rd and 4-6", "cover 3", 1),
		"choices[0].calls[0].share": pick("3rd and 4-6", "cover 1", -.1)} {
		if err := choose(bad); !slices.Equal(wrongFields(err), []string{field}) || string(p.Content) != was {
			t.Errorf("%s: %v, changed %v", field, err, string(p.Content) != was)
		}
	}
	if err := choose(pick("3rd and 4-6", "tampa 2", 1)); err != nil {
		t.Fatal(err)
	}
	e, err := ask.Entered(p, nil)
	if err != nil || len(e.Choices) != 1 || e.Choices[0].Situation != "3rd and 4-6" || e.Wrong != nil {
		t.Errorf("stored: %+v, %v; want the new choice in place of the old ones", e.Choices, err)
	}
	if err := ask.Change(&tags.Plan{Content: []byte("[]")}, nil); !slices.Equal(wrongFields(err), []string{"content"}) {
		t.Errorf("a plan that is none: %v", err)
	}
}

// TestEnteredKeepsWhatAPersonWrote, right or wrong, beside what is stored.
func TestEnteredKeepsWhatAPersonWrote(t *testing.T) {
	t.Parallel()
	p := stored(t, content())
	wrote := ask.Choices{{Situation: "3rd and 4-6",
		Choice: plan.Choice{Calls: []plan.Chosen{{Call: "cover 9", Share: 1}}}}}
	e, err := ask.Entered(p, wrote)
	if err != nil || e.Choices[0].Calls[0].Call != "cover 9" || len(wrongFields(e.Wrong)) != 1 {
		t.Errorf("%+v, %v", e, err)
	}
	if e, err = ask.Entered(p, ask.Choices{}); err != nil || len(e.Choices) != 0 || e.Wrong != nil {
		t.Errorf("everything cleared: %+v, %v", e, err)
	}
}

// TestRefreshKeepsTheChoices: the snapshot is new, the choices are the same; one that has no
// place any more stands in the way, by its situation.
func TestRefreshKeepsTheChoices(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	ctx, q := context.Background(), ask.PlanQuestion{OpponentID: s.opponents[0].ID, Label: "week"}
	p, err := ask.NewPlan(ctx, s, s.program, q)
	if err != nil || p.OpponentID != q.OpponentID || p.Label != "week" {
		t.Fatal(p.PlanHead, err)
	}
	choose := func(o *ask.OpenPlan) error {
		return o.Choose(ask.Choices{{Situation: "1st and 7-10", Choice: plan.Choice{Note: "loud",
			Calls: []plan.Chosen{{Call: "cover 1", Share: 1}}}}})
	}
	if err := ask.Change(&p, choose); err != nil {
		t.Fatal(err)
	}
	refresh := func() error {
		return ask.Change(&p, func(o *ask.OpenPlan) error { return o.Refresh(ctx, s, s.program) })
	}
	s.snaps = append(s.snaps, s.snaps[0])
	if err := refresh(); err != nil {
		t.Fatal(err)
	}
	e, err := ask.Entered(p, nil)
	if err != nil || e.Content.Plays != 31 || len(e.Choices) != 1 || e.Choices[0].Note != "loud" {
		t.Errorf("refreshed: %d plays, choices %+v, %v", e.Content.Plays, e.Choices, err)
	}
	s.calls = slices.DeleteFunc(s.calls, func(c tags.Call) bool { return c.Name == "cover 1" })
	err = refresh()
	if x := tags.As(err); x == nil || x.Kind != tags.Conflict || x.Fields[0].Field != "1st and 7-10: calls[0].call" {
		t.Errorf("a chosen call is off: %v; want the conflict with its situation", err)
	}
	copied := q
	copied.CopyOf = &p.ID
	p.ID = uuid.New()
	s.plans = []tags.Plan{p}
	again, err := ask.NewPlan(ctx, s, s.program, copied)
	if err != nil || len(again.Content) == 0 || again.ID == p.ID {
		t.Errorf("a copy: %v", err)
	}
	if e, err = ask.Entered(again, nil); err != nil || len(e.Choices) != 1 {
		t.Errorf("a copy has %d choices, %v; want the plan's", len(e.Choices), err)
	}
}

// TestRecentAsksOnce: the same question in the same two seconds is read once, another one
// anew; a failure is not kept.
func TestRecentAsksOnce(t *testing.T) {
	t.Parallel()
	s := newStaffroom(t)
	ctx, from := context.Background(), ask.Recent(s)
	rows := func(of int, f map[string][]string) int {
		t.Helper()
		got, err := from.ConceptRows(ctx, s.program, s.opponents[of].ID, f)
		if err != nil {
			t.Fatal(err)
		}
		return got[0].Plays
	}
	s.breaks = 1
	if _, err := from.ConceptRows(ctx, s.program, s.opponents[0].ID, nil); !errors.Is(err, errBroken) {
		t.Fatalf("a failed read: %v", err)
	}
	first, again := rows(0, nil), rows(0, nil)
	if first == 0 || again != first || len(s.asked) != 2 {
		t.Errorf("%d plays, then %d, in %d reads; want the same of two", first, again, len(s.asked))
	}
	other, third := rows(1, nil), rows(0, map[string][]string{"down": {"3"}})
	if other == first || third == first || len(s.asked) != 4 {
		t.Errorf("another opponent %d plays, another down %d, %d reads", other, third, len(s.asked))
	}
	for range 2 {
		if _, err := from.Counts(ctx, s.program, []string{"down"}, nil); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := from.Counts(ctx, s.program, []string{"called"}, nil); err != nil || len(s.asked) != 6 {
		t.Errorf("counts by two dimensions took %d reads, %v", len(s.asked)-4, err)
	}
	if n, err := from.CountPlays(ctx, s.program, s.opponents[0].ID, nil); err != nil || n != 30 {
		t.Errorf("what is not kept is read as ever: %d, %v", n, err)
	}
	for i := range 200 {
		rows(0, map[string][]string{"down": {"1", "3"}, "personnel": {"11", fmt.Sprint(i)}})
	}
	if rows(0, nil) != first {
		t.Error("after many questions the first has another answer")
	}
}
