package pages

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/desk"
	"overhang/internal/door"
	"overhang/internal/reports"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

const plansPath = "/programs/:program/opponents/:opponent/plans"

// planPages serves the plans as a person reads and changes them.
func (s *Site) planPages(e *echo.Echo) {
	e.GET(plansPath, func(c echo.Context) error { return s.showPlans(c, http.StatusOK, &reports.PlansPage{}) })
	e.POST(plansPath, s.plansForm)
	e.GET(plansPath+"/:id", s.planPage)
	e.POST(plansPath+"/:id", s.planForm)
	e.GET(plansPath+"/:id/review", s.reviewPage)
	e.GET(plansPath+"/:id/night", s.nightPage)
	e.GET("/programs/:program/self-scout", s.selfScoutPage)
}

func mayPlan(c echo.Context) bool { return door.RoleOf(c).Reaches(staff.Coordinator) }

var errNoPlanner = echo.NewHTTPError(http.StatusForbidden, "that is for a program's coordinator")

func (s *Site) showPlans(c echo.Context, status int, p *reports.PlansPage) (err error) {
	ctx := c.Request().Context()
	p.Program, p.May = door.ProgramOf(c), mayPlan(c)
	if p.Opponent, err = s.desk.Opponent(c); err != nil {
		return err
	}
	of := postgres.Page{Limit: 500, Filters: map[string]string{"opponent_id": p.Opponent.ID.String()}}
	if p.Plans, err = s.store.PlanHeads().List(ctx, p.Program.ID, of); err != nil {
		return err
	}
	if p.Games, err = s.store.Games().List(ctx, p.Program.ID, of); err != nil {
		return err
	}
	sh, err := s.shell(c, "Plans against "+p.Opponent.Name, "plans", "")
	if err != nil {
		return err
	}
	return s.show(c, status, sh, "plans.html", p)
}

// plansForm makes a plan and goes to it.
func (s *Site) plansForm(c echo.Context) error {
	if !mayPlan(c) {
		return errNoPlanner
	}
	o, err := s.desk.Opponent(c)
	if err != nil {
		return err
	}
	in := ask.PlanQuestion{OpponentID: o.ID, Label: strings.TrimSpace(c.FormValue("label")), GameID: chosenID(c, "game"),
		CopyOf: chosenID(c, "copy")}
	p, err := s.desk.NewPlan(c, in, "")
	if e := tags.As(err); e != nil && e.Kind != tags.Unavailable {
		return s.showPlans(c, http.StatusUnprocessableEntity, &reports.PlansPage{Wrong: e.Error(), Label: in.Label})
	}
	if err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, c.Request().URL.Path+"/"+p.ID.String()+"?done=new")
}

// chosenID is the identity that a form's field names; nil for none, which an
// identity that is none becomes one that nothing has.
func chosenID(c echo.Context, field string) *uuid.UUID {
	v := c.FormValue(field)
	if v == "" {
		return nil
	}
	id, _ := uuid.Parse(v)
	return &id
}

// done are what the page says after what was asked for.
var done = map[string]string{
	"new":     "New plan made. Earlier plans are as they were.",
	"save":    "Saved. It replaces what this plan said before.",
	"refresh": "Saved; the numbers are today's, in place of those this plan had.",
	"lock":    "Saved and locked: it stays as it is now, and sheets follow it."}

func (s *Site) planPage(c echo.Context) error {
	p, err := s.planOfPath(c)
	if err != nil {
		return err
	}
	page, err := s.layPlan(c, p, nil)
	if err != nil {
		return err
	}
	page.Said = done[c.QueryParam("done")]
	return s.showPlan(c, http.StatusOK, &page)
}

func (s *Site) showPlan(c echo.Context, status int, page *reports.PlanPage) error {
	sh, err := s.shell(c, page.Plan.Label+", against "+page.Opponent.Name, "plans", "")
	if err != nil {
		return err
	}
	return s.show(c, status, sh, "plan.html", page)
}

// planOfPath reads the plan of the path, which is one against the path's opponent.
func (s *Site) planOfPath(c echo.Context) (p tags.Plan, err error) {
	id, err := desk.Identity(c, "plans")
	if err != nil {
		return p, err
	}
	o, err := s.desk.Opponent(c)
	if err != nil {
		return p, err
	}
	if p, err = s.store.Plans().Get(c.Request().Context(), door.ProgramOf(c).ID, id); err == nil && p.OpponentID != o.ID {
		err = tags.Errorf(tags.NotFound, "there is no plan %s against that opponent", id)
	}
	return p, err
}

// layPlan makes the page of a plan; entered is what a person wrote that is not
// stored, nil: what is stored stands.
func (s *Site) layPlan(c echo.Context, p tags.Plan, entered ask.Choices) (page reports.PlanPage, err error) {
	as, err := ask.Entered(p, entered)
	if err != nil {
		return page, err
	}
	page = reports.BuildPlan(p.PlanHead, as.Content, as.Choices, mistakes(as.Choices, as.Wrong))
	page.Program, page.May = door.ProgramOf(c), mayPlan(c)
	if page.Opponent, err = s.desk.Opponent(c); err != nil {
		return page, err
	}
	page.Games, err = s.store.Games().List(c.Request().Context(), page.Program.ID, postgres.Page{Limit: 500,
		Filters: map[string]string{"opponent_id": page.Opponent.ID.String()}})
	return page, err
}

// mistakes says by situation what is wrong with choices, in the page's words.
func mistakes(entered ask.Choices, err error) map[string][]string {
	out := map[string][]string{}
	e := tags.As(err)
	for i, x := range entered {
		for k := 0; e != nil && k < len(e.Fields); k++ {
			f := e.Fields[k]
			at, ok := strings.CutPrefix(f.Field, fmt.Sprintf("choices[%d].", i))
			switch {
			case !ok:
			case at == "calls":
				out[x.Situation] = append(out[x.Situation], "The shares come to more than 100%.")
			case strings.HasSuffix(at, "share"):
				out[x.Situation] = append(out[x.Situation], "A share is a number from 0 to 100.")
			default:
				out[x.Situation] = append(out[x.Situation], "The "+at[strings.LastIndex(at, ".")+1:]+": "+f.Msg+".")
			}
		}
	}
	return out
}

// planForm does what one of the page's buttons asks and goes back to the page; what
// cannot be stored is shown again as it was entered.
func (s *Site) planForm(c echo.Context) error {
	if !mayPlan(c) {
		return errNoPlanner
	}
	p, err := s.planOfPath(c)
	if err != nil {
		return err
	}
	do := c.FormValue("do")
	seen, err := strconv.ParseInt(c.FormValue("version"), 10, 64)
	if err != nil {
		return tags.Fieldf(tags.Invalid, "version", "is not a version number")
	}
	var entered ask.Choices
	to := c.Request().URL.Path + "?done=" + do
	if do == "delete" {
		to = strings.TrimSuffix(c.Request().URL.Path, "/"+c.Param("id"))
		err = s.deletePlan(c, p.ID, seen)
	} else {
		entered = reports.ChoicesEntered(c.FormValue)
		err = s.enterPlan(c, p.ID, seen, do, entered)
	}
	if err == nil {
		return c.Redirect(http.StatusSeeOther, to)
	}
	e := tags.As(err)
	if e == nil || e.Kind == tags.Unavailable || e.Kind == tags.NotFound {
		return err
	}
	return s.showAgain(c, p, entered, e)
}

// showAgain shows the page with what was entered, nil for nothing, and why what was
// asked was not done.
func (s *Site) showAgain(c echo.Context, p tags.Plan, entered ask.Choices, why *tags.Error) error {
	now, faster := why.Current.(tags.Plan)
	if faster {
		p = now
	}
	wrote := entered != nil
	if p.LockedAt != nil {
		entered = nil
	}
	page, err := s.layPlan(c, p, entered)
	if err != nil {
		return err
	}
	status := http.StatusUnprocessableEntity
	switch {
	case !wrote && faster:
		status, page.Wrong = http.StatusConflict, "Somebody changed the plan since you opened it: look at it again."
	case wrote && p.LockedAt != nil:
		status, page.Wrong = http.StatusConflict,
			"The plan is locked, and nothing you entered is saved. Make a copy to go on."
	case faster:
		status, page.Wrong = http.StatusConflict,
			"Somebody changed the plan since you opened it, and nothing of yours is saved. Below is what you entered, on "+
				"the plan as it is now: save to put it over theirs."
	case page.Marked():
		page.Wrong = "Not saved."
	default:
		page.Wrong = why.Error()
	}
	if entered != nil {
		page.Plan.Label, page.Plan.GameID = c.FormValue("label"), chosenID(c, "game")
	}
	return s.showPlan(c, status, &page)
}

// enterPlan stores what was entered in the page's form, and then takes new numbers
// or locks the plan where that is asked for.
func (s *Site) enterPlan(c echo.Context, id uuid.UUID, seen int64, do string, entered ask.Choices) error {
	_, err := s.desk.StorePlan(c, id, seen, func(p *ask.OpenPlan) error {
		p.Label, p.GameID = strings.TrimSpace(c.FormValue("label")), chosenID(c, "game")
		if err := p.Choose(entered); err != nil {
			return err
		}
		switch do {
		case "save":
			return nil
		case "refresh":
			return p.Refresh(c.Request().Context(), s.store, door.ProgramOf(c))
		case "lock":
			if c.FormValue("sure") != "yes" {
				return tags.Errorf(tags.Invalid,
					"check the box to confirm: a locked plan can't be changed anymore; nothing is saved yet")
			}
			return desk.Lock(c, p)
		}
		return tags.Fieldf(tags.Invalid, "do", "is no button of this page")
	})
	return err
}

func (s *Site) deletePlan(c echo.Context, id uuid.UUID, seen int64) error {
	who, err := desk.Analyst(c)
	if err != nil {
		return err
	}
	if c.FormValue("sure") != "yes" {
		return tags.Errorf(tags.Invalid, "check the box to confirm")
	}
	return s.store.Plans().By(who).Remove(c.Request().Context(), door.ProgramOf(c).ID, id, seen)
}
