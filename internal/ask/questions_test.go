package ask_test

import (
	"context"
	"encoding/json"
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/tags"
)

// questions are those of the staff that read, each asked as it is asked usually.
func questions(s *staffroom) map[string]func(ctx context.Context) (any, error) {
	in := s.about(map[string][]string{"down": {"3"}})
	all := s.about(nil)
	cell := ask.CellQuestion{Scope: in, Concept: "smash", Call: "cover 1"}
	game := s.games[0].ID
	return map[string]func(ctx context.Context) (any, error){
		"Board":     func(ctx context.Context) (any, error) { return ask.Board(ctx, s, in) },
		"Stress":    func(ctx context.Context) (any, error) { return ask.Stress(ctx, s, in) },
		"First":     func(ctx context.Context) (any, error) { return ask.First(ctx, s, in) },
		"Seen":      func(ctx context.Context) (any, error) { return ask.Seen(ctx, s, all, "personnel", "down") },
		"Positions": func(ctx context.Context) (any, error) { return ask.Positions(ctx, s, s.program) },
		"FindCell":  func(ctx context.Context) (any, error) { return ask.FindCell(ctx, s, cell) },
		"CellBench": func(ctx context.Context) (any, error) { _, b, err := ask.CellBench(ctx, s, cell); return b, err },
		"Opponent":  func(ctx context.Context) (any, error) { return ask.Opponent(ctx, s, in) },
		"GamePlan":  func(ctx context.Context) (any, error) { return ask.GamePlan(ctx, s, s.program, s.opponents[0]) },
		"NewPlan, a copy": func(ctx context.Context) (any, error) {
			return ask.NewPlan(ctx, s, s.program, ask.PlanQuestion{OpponentID: s.opponents[0].ID, CopyOf: &s.plans[0].ID})
		},
		"Review":    func(ctx context.Context) (any, error) { return ask.Review(ctx, s, all, s.plans[0].ID, true) },
		"SelfScout": func(ctx context.Context) (any, error) { return ask.SelfScout(ctx, s, ask.Scope{Program: s.program}) },
		"Planned":   func(ctx context.Context) (any, error) { return ask.Planned(ctx, s, &ask.Order{Scope: all}) },
		"Planned, by name": func(ctx context.Context) (any, error) {
			return ask.Planned(ctx, s, &ask.Order{Scope: all, Plan: s.plans[0].ID.String()})
		},
		"Situations": func(ctx context.Context) (any, error) { return ask.Situations(ctx, s, in) },
		"Practice":   func(ctx context.Context) (any, error) { return ask.Practice(ctx, s, in, nil, 0) },
		"Snaps":      func(ctx context.Context) (any, error) { return ask.Snaps(ctx, s, all) },
		"Likest":     func(ctx context.Context) (any, error) { return ask.Likest(ctx, s, all, "called", []string{"down"}) },
		"Estimate":   func(ctx context.Context) (any, error) { return ask.Estimate(ctx, s, all, "called", []string{"down"}) },
		"BreakDepths": func(ctx context.Context) (any, error) {
			return ask.BreakDepths(ctx, s, all, []string{"down"})
		},
		"ConceptPictures": func(ctx context.Context) (any, error) { return ask.ConceptPictures(ctx, s, all, 1) },
		"SuggestConcepts": func(ctx context.Context) (any, error) { return ask.SuggestConcepts(ctx, s, all) },
		"Agreement":       func(ctx context.Context) (any, error) { return ask.Agreement(ctx, s, s.program.ID, game) },
		"Differing": func(ctx context.Context) (any, error) {
			d, _, err := ask.Differing(ctx, s, s.program.ID, game)
			return d, err
		},
		"Settled": func(ctx context.Context) (any, error) { return ask.Settled(ctx, s, s.program.ID, game, nil) },
		"Tells": func(ctx context.Context) (any, error) {
			return ask.Tells(ctx, s, all, ask.TellsQuestion{Of: []string{"called"}, FalseShare: .05})
		},
		"Trend": func(ctx context.Context) (any, error) {
			return ask.Trend(ctx, s, all, ask.TrendQuestion{Of: "called", Recent: 1, Earlier: 2, FalseShare: .05})
		},
		"Tendencies": func(ctx context.Context) (any, error) { return ask.Tendencies(ctx, s, all, []string{"down"}, nil) },
		"Try": func(ctx context.Context) (any, error) {
			return ask.Try(ctx, s, in, ask.TrialQuestion{Call: json.RawMessage(`"cover 1"`), Concept: "smash", SetName: "2x2",
				Family: "dropback"})
		},
		"Week":   func(ctx context.Context) (any, error) { return ask.Week(ctx, s, in, nil, "") },
		"Usages": func(ctx context.Context) (any, error) { return ask.Usages(ctx, s, all) },
	}
}

// busy is a staffroom in which every question has an answer.
func busy(t *testing.T) *staffroom {
	t.Helper()
	s := newStaffroom(t)
	s.games = []tags.Game{{Meta: fresh(), OpponentID: s.opponents[0].ID, Label: "G1", Ours: true}}
	content := plan.Content{MadeAt: time.Date(2031, 9, 1, 0, 0, 0, 0, time.UTC), Situations: []plan.Situation{
		{Name: "3rd and 4-6", Where: map[string]string{"down": "3", "distance_band": "4-6"},
			Calls: []plan.Predicted{{Call: "cover 1"}, {Call: "cover 3 spot"}}}}}
	raw, err := json.Marshal(content)
	if err != nil {
		t.Fatal(err)
	}
	s.plans = []tags.Plan{{PlanHead: tags.PlanHead{Meta: fresh(), OpponentID: s.opponents[0].ID, GameID: &s.games[0].ID,
		Label: "week"}, Content: raw}}
	s.locked = &s.plans[0]
	s.oursPlays = []tags.Play{{Meta: fresh(), GameID: s.games[0].ID, Down: ptr(3), DistanceYd: ptr(5)}}
	s.ours = map[uuid.UUID]snap{s.oursPlays[0].ID: {"down": "3", "distance_band": "4-6", "game": "G1"}}
	s.counted = s.oursPlays
	for _, who := range []string{"ana", "ben"} {
		s.blind = append(s.blind, tags.BlindTag{Analyst: who, Tags: tags.Seen{Play: tags.Play{Down: ptr(3)}}})
	}
	return s
}

// TestNoQuestionSwallowsAFailedRead: whichever of its reads fails, a question hands on that
// very failure, and no answer as if nothing had been there.
func TestNoQuestionSwallowsAFailedRead(t *testing.T) {
	t.Parallel()
	for name := range questions(busy(t)) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := busy(t)
			if _, err := questions(s)[name](context.Background()); err != nil {
				t.Fatal(err)
			}
			reads := s.asked
			if len(reads) == 0 {
				t.Fatal("reads nothing")
			}
			for k, what := range reads {
				if first := slices.Index(reads, what); k > first+1 && k < len(reads)-1 {
					continue // the same read again: the first two and the last will do
				}
				s.asked, s.breaks = nil, k+1
				if _, err := questions(s)[name](context.Background()); !errors.Is(err, errBroken) {
					t.Errorf("its read %d (%s) failed, and it says %v", k+1, what, err)
				}
			}
		})
	}
}

// TestQuestionsStopWhenTheCallerLeaves: those that play calls look at the context.
func TestQuestionsStopWhenTheCallerLeaves(t *testing.T) {
	t.Parallel()
	gone, leave := context.WithCancel(context.Background())
	leave()
	s := busy(t)
	for _, name := range []string{"Board", "Stress", "First", "CellBench", "GamePlan", "Situations", "Practice", "Try",
		"Week"} {
		if _, err := questions(s)[name](gone); !errors.Is(err, context.Canceled) {
			t.Errorf("%s: %v; want the caller's leaving", name, err)
		}
	}
}

// TestQuestionsRefuseALevelNobodyPlays: no answer is played at a level that is none.
func TestQuestionsRefuseALevelNobodyPlays(t *testing.T) {
	t.Parallel()
	s := busy(t)
	s.program.Level = "sandlot"
	for _, name := range []string{"Board", "FindCell", "Opponent", "Review", "Situations", "Practice", "SuggestConcepts",
		"Try", "Week"} {
		if v, err := questions(s)[name](context.Background()); err == nil || !strings.Contains(err.Error(), "sandlot") {
			t.Errorf("%s: %v, %v; want a refusal that says the level", name, reflect.TypeOf(v), err)
		}
	}
}

// TestRefusedQuestions: what is asked wrongly is refused with the kind and the field.
func TestRefusedQuestions(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	s := busy(t)
	all, other := s.about(nil), tags.Plan{PlanHead: tags.PlanHead{Meta: fresh(), OpponentID: s.opponents[1].ID,
		Label: "theirs"}, Content: []byte(`{}`)}
	broken := tags.Plan{PlanHead: tags.PlanHead{Meta: fresh(), OpponentID: s.opponents[0].ID}, Content: []byte(`[]`)}
	s.plans = append(s.plans, other, broken)
	nobody := uuid.New()
	filtered := func(d string) ask.Scope { return s.about(map[string][]string{d: {"x"}}) }
	cell := func(concept, call, finding string) func() error {
		return func() error {
			_, _, err := ask.CellBench(ctx, s, ask.CellQuestion{Scope: all, Concept: concept, Call: call, Finding: finding})
			return err
		}
	}
	try := func(call, concept, picture string) func() error {
		return func() error {
			_, err := ask.Try(ctx, s, all, ask.TrialQuestion{Call: json.RawMessage(call), Concept: concept, SetName: "2x2",
				Family: "dropback", Picture: picture})
			return err
		}
	}
	planned := func(named string) func() error {
		return func() error { _, err := ask.Planned(ctx, s, &ask.Order{Scope: all, Plan: named}); return err }
	}
	copied := func(of uuid.UUID) func() error {
		return func() error {
			_, err := ask.NewPlan(ctx, s, s.program, ask.PlanQuestion{OpponentID: s.opponents[0].ID, CopyOf: &of})
			return err
		}
	}
	for name, tt := range map[string]struct {
		ask   func() error
		kind  tags.Kind
		field string
	}{
		"a review of another opponent": {func() error {
			_, err := ask.Review(ctx, s, filtered("opponent"), s.plans[0].ID, false)
			return err
		}, tags.Invalid, "opponent"},
		"a review of games that are not ours": {func() error {
			_, err := ask.Review(ctx, s, filtered("ours"), s.plans[0].ID, false)
			return err
		}, tags.Invalid, "ours"},
		"a review of no plan": {func() error {
			_, err := ask.Review(ctx, s, all, nobody, false)
			return err
		}, tags.NotFound, ""},
		"a review of a plan nobody can read": {func() error {
			_, err := ask.Review(ctx, s, all, broken.ID, false)
			return err
		}, tags.Invalid, "content"},
		"a self-scout of others": {func() error {
			_, err := ask.SelfScout(ctx, s, filtered("ours"))
			return err
		}, tags.Invalid, "ours"},
		"likeness to one opponent": {func() error {
			_, err := ask.Likest(ctx, s, filtered("opponent"), "called", nil)
			return err
		}, tags.Invalid, "opponent"},
		"likeness of an opponent without plays": {func() error {
			in := all
			in.Opponent.Code = "M"
			_, err := ask.Likest(ctx, s, in, "called", nil)
			return err
		}, tags.NotFound, ""},
		"an estimate of what is not known": {func() error {
			_, err := ask.Estimate(ctx, s, s.about(map[string][]string{"down": {"3", ""}}), "called", []string{"down"})
			return err
		}, tags.Invalid, "down"},
		"an estimate of a down there is not": {func() error {
			_, err := ask.Estimate(ctx, s, s.about(map[string][]string{"down": {"5"}}), "called", []string{"down"})
			return err
		}, tags.Invalid, "down"},
		"a trend of games the filters choose": {func() error {
			_, err := ask.Trend(ctx, s, filtered("games_ago"), ask.TrendQuestion{Of: "called", Recent: 1, Earlier: 1})
			return err
		}, tags.Invalid, "games_ago"},
		"a tell of the outcome itself": {func() error {
			_, err := ask.Tells(ctx, s, all, ask.TellsQuestion{Of: []string{"called"}, By: []string{"called"}})
			return err
		}, tags.Invalid, "by"},
		"a tell of what is held fixed": {func() error {
			_, err := ask.Tells(ctx, s, all, ask.TellsQuestion{Of: []string{"called"}, By: []string{"down"},
				Within: []string{"down"}})
			return err
		}, tags.Invalid, "by"},
		"a cell without a call":             {cell("smash", "", ""), tags.Invalid, ""},
		"a cell without a concept":          {cell("", "cover 1", ""), tags.Invalid, ""},
		"a cell of a concept nobody ran":    {cell("levels", "cover 1", ""), tags.NotFound, ""},
		"a cell of a call that is off":      {cell("smash", "tampa 2", ""), tags.NotFound, ""},
		"a cell's finding 0":                {cell("smash", "cover 1", "0"), tags.Invalid, "finding"},
		"a cell's finding after the last":   {cell("smash", "cover 1", "99"), tags.Invalid, "finding"},
		"a cell's finding in words":         {cell("smash", "cover 1", "first"), tags.Invalid, "finding"},
		"a trial of a call nobody has":      {try(`"cover 9"`, "smash", ""), tags.NotFound, ""},
		"a trial of a call that is none":    {try(`{"name":"x"}`, "smash", ""), tags.Invalid, "call"},
		"a trial of a concept nobody ran":   {try(`"cover 1"`, "levels", ""), tags.NotFound, ""},
		"a trial of a picture that is none": {try(`"cover 1"`, "smash", "P1 waltz"), tags.Invalid, "picture"},
		"a sheet of a plan that is no id":   {planned("friday"), tags.Invalid, "plan"},
		"a sheet of a plan there is not":    {planned(nobody.String()), tags.NotFound, ""},
		"a sheet of a plan against others":  {planned(other.ID.String()), tags.NotFound, ""},
		"a sheet of a plan nobody can read": {planned(broken.ID.String()), tags.Invalid, "content"},
		"a copy of no plan":                 {copied(nobody), tags.Invalid, "copy_of"},
		"a copy of a plan against others":   {copied(other.ID), tags.Invalid, "copy_of"},
		"a copy of a plan nobody can read":  {copied(broken.ID), tags.Invalid, "content"},
		"settling what one analyst tagged":  {func() error { return settleOne(ctx, t) }, tags.Conflict, ""},
		"a snapshot of an opponent not here": {func() error { return snapshotOf(ctx, s, nobody) }, tags.Invalid,
			"opponent_id"},
	} {
		err := tt.ask()
		if got := strings.Join(wrongFields(err), " "); kindOf(err) != tt.kind || got != tt.field {
			t.Errorf("%s: kind %d, fields %q (%v); want kind %d, field %q", name, kindOf(err), got, err, tt.kind, tt.field)
		}
	}
}

func settleOne(ctx context.Context, t *testing.T) error {
	s := busy(t)
	s.blind = s.blind[:1]
	_, err := ask.Settled(ctx, s, s.program.ID, uuid.New(), nil)
	return err
}

func snapshotOf(ctx context.Context, s *staffroom, opponent uuid.UUID) error {
	_, err := ask.Snapshot(ctx, s, s.program, opponent)
	return err
}

// TestACallThatCannotBePlayedIsNamed: a stored call that no longer reads stops a board with
// its name in the words; the list of positions goes on without it.
func TestACallThatCannotBePlayedIsNamed(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	s := busy(t)
	s.calls = append(s.calls, tags.Call{Meta: fresh(), Name: "Broken Arrow", Active: true, Body: []byte(`{"name":"x"}`)})
	if _, err := ask.Board(ctx, s, s.about(nil)); kindOf(err) != tags.Conflict ||
		!strings.Contains(err.Error(), `"Broken Arrow"`) {
		t.Errorf("the board: %v; want a conflict that names the call", err)
	}
	_, err := ask.Try(ctx, s, s.about(nil), ask.TrialQuestion{Call: []byte(`"Broken Arrow"`), Concept: "smash",
		SetName: "2x2", Family: "dropback"})
	if kindOf(err) != tags.Conflict || !strings.Contains(err.Error(), `"Broken Arrow"`) {
		t.Errorf("a trial of it: %v; want a conflict that names the call", err)
	}
	if ps, err := ask.Positions(ctx, s, s.program); err != nil || len(ps) == 0 {
		t.Errorf("positions: %v, %v; want those of the other calls", ps, err)
	}
}

// TestQuestionsLeaveTheScopeAsItWas: the maps of filters are the caller's.
func TestQuestionsLeaveTheScopeAsItWas(t *testing.T) {
	t.Parallel()
	s := busy(t)
	for name, question := range questions(s) {
		filters := map[string][]string{"down": {"1", "3"}}
		was := map[string][]string{"down": {"1", "3"}}
		switch name { // asked again with the map that is looked at
		case "Opponent":
			question = func(ctx context.Context) (any, error) { return ask.Opponent(ctx, s, s.about(filters)) }
		case "FindCell":
			question = func(ctx context.Context) (any, error) {
				return ask.FindCell(ctx, s, ask.CellQuestion{Scope: s.about(filters), Concept: "smash"})
			}
		case "Review":
			question = func(ctx context.Context) (any, error) {
				return ask.Review(ctx, s, s.about(filters), s.plans[0].ID, true)
			}
		case "SelfScout":
			question = func(ctx context.Context) (any, error) {
				return ask.SelfScout(ctx, s, ask.Scope{Program: s.program, Filters: filters})
			}
		case "Practice":
			question = func(ctx context.Context) (any, error) { return ask.Practice(ctx, s, s.about(filters), nil, 30) }
		case "Trend":
			question = func(ctx context.Context) (any, error) {
				return ask.Trend(ctx, s, s.about(filters), ask.TrendQuestion{Of: "called", Recent: 1, Earlier: 1})
			}
		default:
			continue
		}
		if _, err := question(context.Background()); err != nil || !reflect.DeepEqual(filters, was) {
			t.Errorf("%s: %v, filters %v; want %v", name, err, filters, was)
		}
	}
}
