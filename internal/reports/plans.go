package reports

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/google/uuid"

	"overhang/internal/plan"
	"overhang/internal/reports/drawing"
	"overhang/internal/tags"
)

// A PlansPage lists the plans against an opponent and makes new ones.
type PlansPage struct {
	Program  tags.Program
	Opponent tags.Opponent
	Plans    []tags.PlanHead
	Games    []tags.Game // of the opponent
	May      bool        // the visitor may make one
	Label    string      // as entered
	Wrong    string
}

// Base is where the opponent's pages are.
func (p *PlansPage) Base() string { return opponentPath(p.Program, p.Opponent) }

// Game is how people know the game a plan is for.
func (p *PlansPage) Game(id *uuid.UUID) string { return gameLabel(p.Games, id) }

func gameLabel(gs []tags.Game, id *uuid.UUID) string {
	for i := range gs {
		if id != nil && gs[i].ID == *id {
			return gs[i].Label
		}
	}
	return ""
}

// A PlanPage is one plan: in each situation the recommended mix beside the
// coordinator's own choice, and what either gives up.
type PlanPage struct {
	Program  tags.Program
	Opponent tags.Opponent
	Plan     tags.PlanHead
	MadeAt   time.Time
	Rows     []PlanRow
	Games    []tags.Game
	May      bool // the visitor may change plans
	Said     string
	Wrong    string
}

// A PlanRow is a situation of a plan as the page shows it.
type PlanRow struct {
	plan.Situation
	Slots []PlanSlot // calls and shares as entered, some empty
	Caps  []PlanCap  // limits as entered, some empty
	Wrong []string   // with what was entered
}

// A PlanSlot is a call with its share in percent, as a person writes it.
type PlanSlot struct{ Call, Share string }

// A PlanCap is a call with how often it is called at least and at most, in percent.
type PlanCap struct{ Call, Least, Most string }

// slots is how many calls a situation has room for at least.
const slots = 3

// BuildPlan makes the page of a plan. choices are what is entered: those of the
// content, or what could not be stored, with wrong saying why, by situation.
func BuildPlan(head tags.PlanHead, c plan.Content, choices []plan.ChoiceIn, wrong map[string][]string) PlanPage {
	entered := map[string]plan.Choice{}
	for _, x := range choices {
		entered[x.Situation] = x.Choice
	}
	p := PlanPage{Plan: head, MadeAt: c.MadeAt}
	for i := range c.Situations {
		r := PlanRow{Situation: c.Situations[i], Wrong: wrong[c.Situations[i].Name]}
		r.Choice = entered[r.Name]
		for _, k := range r.Choice.Calls {
			r.Slots = append(r.Slots, PlanSlot{k.Call, percent(k.Share)})
		}
		for len(r.Slots) < slots || len(r.Slots) == len(r.Choice.Calls) && len(r.Slots) < len(r.Calls) {
			r.Slots = append(r.Slots, PlanSlot{})
		}
		for _, x := range r.Choice.Limits.Shares {
			c := PlanCap{Call: x.Call}
			if x.AtLeast != nil {
				c.Least = percent(*x.AtLeast)
			}
			if x.AtMost != nil {
				c.Most = percent(*x.AtMost)
			}
			r.Caps = append(r.Caps, c)
		}
		r.Caps = append(r.Caps, PlanCap{}, PlanCap{})
		p.Rows = append(p.Rows, r)
	}
	return p
}

// percent writes a share in percent, to a hundredth; "?" for what is no number.
func percent(share float64) string {
	if math.IsNaN(share) {
		return "?"
	}
	return strconv.FormatFloat(math.Round(share*1e4)/100, 'g', -1, 64)
}

// Base is where the opponent's pages are.
func (p *PlanPage) Base() string { return opponentPath(p.Program, p.Opponent) }

// Game is how people know the game the plan is for.
func (p *PlanPage) Game() string { return gameLabel(p.Games, p.Plan.GameID) }

// Sheet is where the plan's call sheet is, its format left to say.
func (p *PlanPage) Sheet() string {
	return "/v1" + p.Base() + "/sheets/call?plan=" + p.Plan.ID.String()
}

// Open says that the visitor can change the plan.
func (p *PlanPage) Open() bool { return p.May && p.Plan.LockedAt == nil }

// Marked says that something is wrong with what was entered in a situation.
func (p *PlanPage) Marked() bool {
	return slices.ContainsFunc(p.Rows, func(r PlanRow) bool { return len(r.Wrong) > 0 })
}

// Chosen is in how many situations the coordinator chose.
func (p *PlanPage) Chosen() (n int) {
	for i := range p.Rows {
		if len(p.Rows[i].Choice.Calls) > 0 {
			n++
		}
	}
	return n
}

// Mix are the calls of the recommended mix.
func (r *PlanRow) Mix() (out []plan.Predicted) {
	for _, k := range r.Calls {
		if k.Mixed() {
			out = append(out, k)
		}
	}
	return out
}

// Often are the concepts he runs most there.
func (r *PlanRow) Often() []plan.Observed { return r.Concepts[:min(3, len(r.Concepts))] }

// Priced is what one way to call a situation gives up: points a snap with their interval, or
// of a plan without points the chance of success, and in words what it is beside the mix, and
// what is worst.
type Priced struct {
	Value, Low, High float64
	Points           bool
	Success          float64
	Beside, Worst    string
}

// Recommended says what the mix gives up.
func (r *PlanRow) Recommended() *Priced { return r.priced(r.Situation.Recommended(), nil) }

// Own says what the choice gives up, beside the mix; nil for one that is none.
func (r *PlanRow) Own() *Priced {
	if len(r.Wrong) > 0 {
		return nil
	}
	return r.priced(r.Situation.Own(), r.Situation.Recommended())
}

func (r *PlanRow) priced(p, beside *plan.Price) *Priced {
	if p == nil {
		return nil
	}
	at := &r.Concepts[p.WorstAt]
	on := at.Concept + " from " + at.SetName
	if p.Points == nil {
		out := &Priced{p.Observed, p.Low, p.High, false, p.Observed, "", fmt.Sprintf("%.0f%%, %s", 100*p.Worst, on)}
		if beside != nil {
			out.Beside = apart(100*(p.Observed-beside.Observed), "%.0f", 0.5)
			out.Worst += ": " + apart(100*(p.Worst-beside.Worst), "%.0f", 0.5)
		}
		return out
	}
	out := &Priced{*p.Points, *p.PointsLow, *p.PointsHigh, true, p.Observed, "",
		fmt.Sprintf("%s, %s", drawing.Points(*p.WorstPoints), on)}
	if beside != nil && beside.Points != nil {
		out.Beside = apart(*p.Points-*beside.Points, "%.2f", 0.005)
		out.Worst += ": " + apart(*p.WorstPoints-*beside.WorstPoints, "%.2f", 0.005)
	}
	return out
}

// apart says by how much a choice gives up more than the mix; least is what can be shown.
func apart(more float64, format string, least float64) string {
	switch {
	case math.Abs(more) < least:
		return "as the mix"
	case more > 0:
		return fmt.Sprintf(format+" more than the mix", more)
	default:
		return fmt.Sprintf(format+" less than the mix", -more)
	}
}

// ChoicesEntered reads what a person entered in the page's form. A call without a
// share gets an equal part of what the others of its situation leave. A share that
// is no number comes back as one that no share can be, so that it is refused.
func ChoicesEntered(value func(string) string) []plan.ChoiceIn {
	out := []plan.ChoiceIn{}
	for i := 0; value(fmt.Sprint("situation.", i)) != ""; i++ {
		x := plan.ChoiceIn{Situation: value(fmt.Sprint("situation.", i)),
			Choice: plan.Choice{Note: strings.TrimSpace(value(fmt.Sprint("note.", i))), Calls: []plan.Chosen{}}}
		var open []int
		left := 1.0
		for k := range 100 {
			call := value(fmt.Sprintf("call.%d.%d", i, k))
			if call == "" {
				continue
			}
			share := shareEntered(value(fmt.Sprintf("share.%d.%d", i, k)))
			if share == nil {
				open = append(open, len(x.Calls))
				share = new(float64)
			}
			left -= *share
			x.Calls = append(x.Calls, plan.Chosen{Call: call, Share: *share})
		}
		for _, k := range open {
			x.Calls[k].Share = max(0, left/float64(len(open)))
		}
		x.Limits = limitsEntered(value, i)
		out = append(out, x)
	}
	return out
}

// limitsEntered reads the limits of a situation from the page's form; what is no number comes
// back as one that no share can be.
func limitsEntered(value func(string) string, i int) (l plan.Limits) {
	l.Only = value(fmt.Sprint("only.", i)) != ""
	if n := strings.TrimSpace(value(fmt.Sprint("atmost.", i))); n != "" {
		var err error
		if l.AtMost, err = strconv.Atoi(n); err != nil {
			l.AtMost = -1
		}
	}
	for k := range 100 {
		at := fmt.Sprintf(".%d.%d", i, k)
		call := value("cap" + at)
		if call == "" {
			continue
		}
		l.Shares = append(l.Shares, plan.Bound{Call: call, AtLeast: shareEntered(value("least" + at)),
			AtMost: shareEntered(value("most" + at))})
	}
	return l
}

// shareEntered reads a percentage, nil for none; what is no number is NaN, which no choice may hold.
func shareEntered(text string) *float64 {
	text = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "%"))
	if text == "" {
		return nil
	}
	share, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil {
		share = math.NaN()
	}
	share /= 100
	return &share
}
