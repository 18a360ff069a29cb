package pages

import (
	"net/http"
	"slices"
	"strings"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/desk"
	"overhang/internal/door"
	"overhang/internal/reports"
	"overhang/internal/reports/filmroom"
	"overhang/internal/tags"
)

const (
	programPath  = "/programs/:program"
	opponentPath = "/programs/:program/opponents/:opponent"
)

// weekPages serves the week: its home, film, tags and print. The other steps have
// files of their own.
func (s *Site) weekPages(e *echo.Echo) {
	e.GET(programPath, s.homePage)
	e.GET(programPath+"/find", s.findPage)
	e.GET(opponentPath, s.weekPage)
	e.GET(opponentPath+"/film", s.filmPage)
	e.GET(opponentPath+"/tags", s.tagsPage)
	e.GET(opponentPath+"/print", s.printPage)
}

func (s *Site) homePage(c echo.Context) error {
	sh, err := s.shell(c, door.ProgramOf(c).Name, "", "")
	if err != nil {
		return err
	}
	calls, err := desk.Every(c.Request().Context(), s.store.Calls(), sh.Program.ID, nil)
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, sh, "home.html", &Home{Program: *sh.Program, Base: sh.Home(),
		Opponents: sh.Opponents, Calls: len(calls), MayAdd: s.mayAdd(c)})
}

func (s *Site) weekPage(c echo.Context) error {
	o, err := s.desk.Opponent(c)
	if err != nil {
		return err
	}
	sh, err := s.shell(c, "The week against "+o.Name, "", "")
	if err != nil {
		return err
	}
	w := &Week{Opponent: o, Base: sh.Base(), Program: sh.Home()}
	return s.showLate(c, sh, "how far along the week is", "week.html", func() (any, error) { return w, s.fillWeek(c, w) })
}

// fillWeek finds how far each step of a week is, and what hurts most.
func (s *Site) fillWeek(c echo.Context, w *Week) error {
	ctx, p, o := c.Request().Context(), door.ProgramOf(c), w.Opponent
	rooms, err := s.filmRooms(c, o)
	if err != nil {
		return err
	}
	for i := range rooms {
		if rooms[i].Game.Ours {
			continue
		}
		w.Games++
		if len(rooms[i].Films) > 0 {
			w.Filmed++
		}
	}
	plan, err := ask.GamePlan(ctx, s.store, p, o)
	if err != nil {
		return err
	}
	g := reports.Build(plan)
	byConcept, err := s.store.Tendencies(ctx, p, tags.TendencyQuery{By: []string{"concept"},
		Filters: map[string][]string{"opponent": {o.Code}}})
	if err != nil {
		return err
	}
	w.Plays, w.Calls, w.Worst = byConcept.Total, len(g.Board.Rows), worstOf(g)
	for _, x := range byConcept.Cells {
		if x.Keys[0] != nil {
			w.Concepts += x.Plays
		}
	}
	heads, err := desk.Every(ctx, s.store.PlanHeads(), p.ID, map[string]string{"opponent_id": o.ID.String()})
	for i := range heads {
		w.Plans++
		if heads[i].LockedAt != nil {
			w.Locked++
		}
	}
	return err
}

// worstOf is the conflict that leads the board, nil where there is none.
func worstOf(g *reports.GamePlan) *WorstConflict {
	if len(g.Worst) == 0 {
		return nil
	}
	x := &g.Worst[0]
	link, _, _ := strings.Cut(g.CureLink(*x), "#")
	return &WorstConflict{Call: x.Call, Concept: x.Concept, Set: x.SetName, Said: x.Finding.Sentence, Link: link,
		Drawing: "/v1" + strings.Replace(link, "/cell?", "/drawing?", 1) + "&width_mm=180&caption=false"}
}

// filmRooms are the opponent's games with their films.
func (s *Site) filmRooms(c echo.Context, o tags.Opponent) (out []FilmedGame, err error) {
	ctx, p := c.Request().Context(), door.ProgramOf(c)
	gs, err := desk.Every(ctx, s.store.Games(), p.ID, map[string]string{"opponent_id": o.ID.String()})
	if err != nil {
		return nil, err
	}
	fs, err := desk.Every(ctx, s.store.Films(), p.ID, nil)
	if err != nil {
		return nil, err
	}
	of := map[uuid.UUID][]tags.Film{}
	for i := range fs {
		of[fs[i].GameID] = append(of[fs[i].GameID], fs[i])
	}
	for i := range gs {
		out = append(out, FilmedGame{Game: gs[i], Films: of[gs[i].ID]})
	}
	slices.Reverse(out) // the newest first
	return out, nil
}

func (s *Site) filmPage(c echo.Context) error {
	o, err := s.desk.Opponent(c)
	if err != nil {
		return err
	}
	sh, err := s.shell(c, "Film: "+o.Name, "film", "")
	if err != nil {
		return err
	}
	rooms, err := s.filmRooms(c, o)
	if err != nil {
		return err
	}
	for i := range rooms {
		for _, f := range rooms[i].Films {
			of := map[string]string{"film_id": f.ID.String()}
			cs, err := desk.Every(c.Request().Context(), s.store.Clips(), sh.Program.ID, of)
			if err != nil {
				return err
			}
			rooms[i].Clips += len(cs)
		}
	}
	return s.show(c, http.StatusOK, sh, "film.html", &FilmRoom{Opponent: o, Program: sh.Home(), Games: rooms})
}

func (s *Site) tagsPage(c echo.Context) error {
	o, err := s.desk.Opponent(c)
	if err != nil {
		return err
	}
	sh, err := s.shell(c, "Tags: "+o.Name, "tags", "")
	if err != nil {
		return err
	}
	rooms, err := s.filmRooms(c, o)
	if err != nil {
		return err
	}
	p, out := door.ProgramOf(c), TagRoom{Opponent: o, Program: sh.Home()}
	for i := range rooms {
		of := map[string]string{"game_id": rooms[i].Game.ID.String()}
		ps, err := desk.Every(c.Request().Context(), s.store.Plays(), p.ID, of)
		if err != nil {
			return err
		}
		h := filmroom.Head{Program: p, Opponent: o, Game: rooms[i].Game}
		out.Games = append(out.Games, filmroom.NewSnaps(h, ps, nil, filmroom.Filter{}))
	}
	return s.show(c, http.StatusOK, sh, "tags.html", &out)
}

func (s *Site) printPage(c echo.Context) error {
	o, err := s.desk.Opponent(c)
	if err != nil {
		return err
	}
	sh, err := s.shell(c, "Print: "+o.Name, "print", "")
	if err != nil {
		return err
	}
	out := PrintPage{Base: sh.Base()}
	out.Plans, err = desk.Every(c.Request().Context(), s.store.PlanHeads(), sh.Program.ID,
		map[string]string{"opponent_id": o.ID.String()})
	if err != nil {
		return err
	}
	if err := out.choose(c.QueryParam("plan")); err != nil {
		return err
	}
	for _, k := range reports.Kinds {
		at := "/v1" + sh.Base()
		switch k.Scope {
		case reports.ForField:
			at += "/sheets/" + k.Name + "?" + out.Query()
		case reports.OfOpponent:
			at += "/reports/" + k.Name + "?"
		default:
			continue
		}
		out.Kinds = append(out.Kinds, NewPrinted(k.Name, k.Title, at+"format="))
	}
	slices.SortStableFunc(out.Kinds, func(a, b Printed) int { return a.Rank() - b.Rank() })
	return s.show(c, http.StatusOK, sh, "print.html", &out)
}
