package reports

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/handout"
	"overhang/internal/reports/paper"
	"overhang/internal/tags"
)

// A Scope is what a report is of, which says where it is found.
type Scope int

const (
	OfProgram  Scope = iota + 1 // our own games: /reports/NAME
	OfOpponent                  // /opponents/{opponent}/reports/NAME
	OfPlan                      // /plans/{id}/NAME
	ForField                    // of an opponent, carried onto the field: /opponents/{opponent}/sheets/NAME
)

// A Cost is what a report keeps busy.
type Cost int

const (
	Counting Cost = iota + 1 // the database counts through many plays
	Playing                  // the engine plays calls against concepts
)

// A Kind is one report or sheet: this table feeds routes, lanes, links and the print
// command, and a test holds the API's document against it.
type Kind struct {
	Name  string // in paths, names of files and on the command line
	Title string // what a link says
	Scope Scope
	Cost  Cost
	Takes []string // options beside the plays, of ask.Options
	Build func(ctx context.Context, from ask.Reads, o *ask.Order) (*Made, error)
}

// Path is where a kind is found below its program, as a router writes it; the sheets
// have one path, which says which it is.
func (k *Kind) Path() string {
	switch k.Scope {
	case OfOpponent:
		return "/opponents/:opponent/reports/" + k.Name
	case OfPlan:
		return "/plans/:id/" + k.Name
	case ForField:
		return "/opponents/:opponent/sheets/:kind"
	}
	return "/reports/" + k.Name
}

// Made is a report: as JSON it is Data.
type Made struct {
	Data     any
	Document *paper.Document
}

// sheetOptions are taken by all sheets, which have one path.
var sheetOptions = []string{"plan", "call", "defender", "for_game", "date", "paper", "cards", "per_page", "minutes",
	"percent"}

// Kinds are all reports and sheets.
var Kinds = []Kind{
	{"stress", "stress report", OfOpponent, Playing, nil, answered(ask.Stress, BuildStress)},
	{"opponent", "opponent report", OfOpponent, Playing, nil, answered(ask.Opponent, BuildOpponent)},
	{"self-scout", "self-scout", OfProgram, Counting, nil, answered(ask.SelfScout, BuildSelfScout)},
	{"review", "review", OfPlan, Playing, []string{"earlier"}, review},
	{"call", "call sheet", ForField, Playing, sheetOptions, callSheet},
	{"position", "position sheets", ForField, Playing, sheetOptions, positionSheets},
	{"scout", "scout cards", ForField, Playing, sheetOptions, scoutCards},
	{"practice", "practice script", ForField, Playing, sheetOptions, practice},
	{"quiz", "quiz cards", ForField, Playing, sheetOptions, quiz},
}

// Names lists the kinds of some scopes.
func Names(of ...Scope) (out []string) {
	for _, k := range Kinds {
		if slices.Contains(of, k.Scope) {
			out = append(out, k.Name)
		}
	}
	return out
}

// Lookup finds a kind among those of some scopes. NotFound: there is none.
func Lookup(name string, of ...Scope) (Kind, error) {
	i := slices.IndexFunc(Kinds, func(k Kind) bool { return k.Name == name && slices.Contains(of, k.Scope) })
	if i < 0 {
		return Kind{}, tags.Errorf(tags.NotFound, "no report or sheet %q: choose %s", name, strings.Join(Names(of...),
			", "))
	}
	return Kinds[i], nil
}

// answered makes a report of the answer to one question about the plays that were ordered.
func answered[A any, R interface {
	Document(time.Time) *paper.Document
}](question func(context.Context, ask.Reads, ask.Scope) (A, error),
	build func(A) R) func(context.Context, ask.Reads, *ask.Order) (*Made, error) {
	return func(ctx context.Context, from ask.Reads, o *ask.Order) (*Made, error) {
		a, err := question(ctx, from, o.Scope)
		if err != nil {
			return nil, err
		}
		r := build(a)
		return &Made{r, r.Document(o.Date)}, nil
	}
}

func review(ctx context.Context, from ask.Reads, o *ask.Order) (*Made, error) {
	id, err := uuid.Parse(o.Plan)
	if err != nil {
		return nil, tags.Errorf(tags.NotFound, "there is no plan %q", o.Plan)
	}
	a, err := ask.Review(ctx, from, o.Scope, id, o.Earlier)
	if err != nil {
		return nil, err
	}
	r, at := BuildReview(a), o.Program.Settings.Zone()
	r.MadeAt, r.LockedAt = r.MadeAt.In(at), onClock(r.LockedAt, at)
	return &Made{r, r.Document(o.Date)}, nil
}

func callSheet(ctx context.Context, from ask.Reads, o *ask.Order) (*Made, error) {
	switch {
	case len(o.Filters) == 0:
	case o.Plan == "":
		o.Plan = ask.NoPlan
	case o.Plan != ask.NoPlan:
		return nil, tags.Fieldf(tags.Invalid, "plan", "a plan has its own situations and numbers: leave the filters out")
	}
	p, err := ask.Planned(ctx, from, o)
	if err != nil {
		return nil, err
	}
	if p != nil {
		return callSheetOf(o, p), nil
	}
	a, err := ask.Situations(ctx, from, o.Scope)
	if err != nil {
		return nil, err
	}
	s := handout.Calls(furniture(o, a.Plays, nil), a.Calls, a.Situations)
	s.Percent = o.Percent
	return carried(o, s, s.Document()), nil
}

// callSheetOf is the call sheet of a stored plan.
func callSheetOf(o *ask.Order, p *ask.PlannedAnswer) *Made {
	at := o.Program.Settings.Zone()
	of := handout.Planned{Label: p.Head.Label, MadeAt: p.Content.MadeAt.In(at), LockedAt: onClock(p.Head.LockedAt, at)}
	s := handout.PlannedCalls(furniture(o, p.Content.Plays, p), p.Calls, of, &p.Content)
	s.Percent = o.Percent
	return carried(o, s, s.Document())
}

func positionSheets(ctx context.Context, from ask.Reads, o *ask.Order) (*Made, error) {
	w, f, err := week(ctx, from, o)
	if err != nil {
		return nil, err
	}
	s, err := handout.Positions(ctx, f, w, o.Call, o.Defender)
	if err != nil {
		return nil, err
	}
	return carried(o, s, s.Document()), nil
}

func scoutCards(ctx context.Context, from ask.Reads, o *ask.Order) (*Made, error) {
	w, f, err := week(ctx, from, o)
	if err != nil {
		return nil, err
	}
	us, err := ask.Usages(ctx, from, o.Scope)
	if err != nil {
		return nil, err
	}
	s, err := handout.Scout(ctx, f, w, us, o.Cards, o.PerPage)
	if err != nil {
		return nil, err
	}
	return carried(o, s, s.Document()), nil
}

func practice(ctx context.Context, from ask.Reads, o *ask.Order) (*Made, error) {
	p, err := ask.Planned(ctx, from, o)
	if err != nil {
		return nil, err
	}
	a, err := ask.Practice(ctx, from, o.Scope, p, o.Minutes)
	if err != nil {
		return nil, err
	}
	s, err := handout.MakePractice(furniture(o, a.Plays, p), a.Level, a.Stretches, p)
	if err != nil {
		return nil, err
	}
	return carried(o, s, s.Document()), nil
}

func quiz(ctx context.Context, from ask.Reads, o *ask.Order) (*Made, error) {
	w, f, err := week(ctx, from, o)
	if err != nil {
		return nil, err
	}
	s, err := handout.MakeQuiz(f, w, o.Call, o.Defender, o.Cards)
	if err != nil {
		return nil, err
	}
	return carried(o, s, s.Document()), nil
}

// week is what a sheet teaches: of its plan only the calls the plan carries.
func week(ctx context.Context, from ask.Reads, o *ask.Order) (w *plan.Week, f paper.Furniture, err error) {
	p, err := ask.Planned(ctx, from, o)
	if err != nil {
		return nil, f, err
	}
	if w, err = ask.Week(ctx, from, o.Scope, p, o.Call); err != nil {
		return nil, f, err
	}
	return w, furniture(o, w.Plays, p), nil
}

// furniture says on every page whose it is, and of a sheet that is carried whose calls it
// prints.
func furniture(o *ask.Order, plays int, p *ask.PlannedAnswer) paper.Furniture {
	f := paper.Furniture{Program: o.Program.Name, Opponent: o.Opponent.Name, Game: o.ForGame, Plays: plays, Date: o.Date,
		Invented: o.Program.Invented, Whose: "No plan: our active calls, as recommended now"}
	if p == nil {
		return f
	}
	f.Game = cmp.Or(f.Game, p.ForGame)
	state := "draft"
	if p.Head.LockedAt != nil {
		state = "locked " + p.Head.LockedAt.In(o.Program.Settings.Zone()).Format("Jan 2")
		if p.Head.LockedBy != nil {
			state += " by " + *p.Head.LockedBy
		}
	}
	f.Whose = fmt.Sprintf("%s, %s: %s", p.Head.Label, state, chosen(p.Chosen(), len(p.Content.Situations)))
	return f
}

// chosen says how many boxes of a plan are the staff's own.
func chosen(n, of int) string {
	switch n {
	case 0:
		return "all as recommended"
	case of:
		return "all our choice"
	}
	return fmt.Sprintf("our choice in %d of %d boxes, the rest recommended", n, of)
}

// carried is a sheet on the paper that was ordered.
func carried(o *ask.Order, data any, d *paper.Document) *Made {
	d.A4 = o.A4
	return &Made{data, d}
}

// onClock is a moment on a program's own clock, nil for none.
func onClock(t *time.Time, at *time.Location) *time.Time {
	if t == nil {
		return nil
	}
	there := t.In(at)
	return &there
}
