package pages

import (
	"maps"
	"net/http"
	"net/url"
	"slices"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/desk"
	"overhang/internal/door"
	"overhang/internal/reports/filmroom"
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// explorer serves the tendencies page and the snaps behind each of its rows.
func (s *Site) explorer(e *echo.Echo) {
	e.GET(opponentPath+"/tendencies", s.tendencyPage)
	e.GET(opponentPath+"/snaps", s.behindPage)
	e.GET(opponentPath+"/studies", s.studiesPage)
}

// narrowed are the filters that the page's address names, the opponent's among them.
func narrowed(c echo.Context, o tags.Opponent) map[string][]string {
	q := url.Values{}
	for d, vs := range c.QueryParams() {
		if slices.Contains(tags.Dimensions, d) && d != "opponent" && vs[0] != "" {
			q[d] = vs[:1]
		}
	}
	f := ask.Filters(q)
	f["opponent"] = []string{o.Code}
	return f
}

// tendencyPage answers the question in its address.
func (s *Site) tendencyPage(c echo.Context) error {
	o, err := s.desk.Opponent(c)
	if err != nil {
		return err
	}
	sh, err := s.shell(c, "Tendencies: "+o.Name, "tendencies", "")
	if err != nil {
		return err
	}
	ctx, p := c.Request().Context(), door.ProgramOf(c)
	page := NewExplorer(o, sh.Base(), sh.Home(), c.QueryParams(), &p.Settings)
	in := ask.Scope{Program: p, Opponent: o, Filters: narrowed(c, o)}
	t, err := ask.Tendencies(ctx, s.store, in, page.By, nil)
	if err != nil {
		return err
	}
	for _, x := range t.Cells {
		g := Group{Plays: x.Plays, Share: x.Share, Low: x.ShareLow, High: x.ShareHigh, RunShare: x.RunShare,
			RunLow: x.RunLow, RunHigh: x.RunHigh, Called: x.Runs + x.Passes,
			Success: x.SuccessRate, SuccessLow: x.SuccessLow, SuccessHigh: x.SuccessHigh, Gain: x.MeanGain,
			Explosive: x.ExplosiveRate, Thin: x.Thin}
		for _, d := range page.By {
			g.Keys = append(g.Keys, x.Keys[d])
		}
		page.Groups = append(page.Groups, g)
	}
	page.Total = t.Total
	if err := s.fillPictures(c, in, page); err != nil {
		return err
	}
	if err := s.fillTells(c, p, o, page); err != nil {
		return err
	}
	return s.show(c, http.StatusOK, sh, "tendencies.html", page)
}

// fillPictures counts where they throw and run, what they do down the field, and game by
// game, under the page's filters.
func (s *Site) fillPictures(c echo.Context, in ask.Scope, page *Explorer) error {
	for _, x := range []struct {
		by   []string
		only string // run or pass, where nothing else is meant
		take func([]ask.CellScored)
	}{
		{[]string{"field_zone"}, "", func(cs []ask.CellScored) { page.TakeZones(cs, &in.Program.Settings) }},
		{[]string{"throw_depth_band", "target_area"}, "pass", page.TakeTargets},
		{[]string{"concept", "play_side"}, "run", page.TakeRuns},
		{[]string{"games_ago", "game"}, "", page.TakeGames},
	} {
		scope, some := calledOnly(in, x.only)
		if !some {
			continue
		}
		t, err := ask.Tendencies(c.Request().Context(), s.store, scope, x.by, nil)
		if err != nil {
			return err
		}
		x.take(t.Cells)
	}
	return nil
}

// calledOnly narrows a scope to the plays called so, run or pass, where only is not
// empty. It reports false where the page's own filters leave none of them.
func calledOnly(in ask.Scope, only string) (ask.Scope, bool) {
	scope := in
	scope.Filters = maps.Clone(in.Filters)
	if only == "" {
		return scope, true
	}
	called := scope.Filters["called"]
	if called == nil {
		scope.Filters["called"] = []string{only}
	}
	return scope, called == nil || slices.Contains(called, only)
}

// fillTells asks what gives the call away under the page's filters.
func (s *Site) fillTells(c echo.Context, p tags.Program, o tags.Opponent, page *Explorer) error {
	tells, err := ask.Tells(c.Request().Context(), s.store, ask.Scope{Program: p, Opponent: o, Filters: narrowed(c, o)},
		ask.TellsQuestion{Of: []string{"called"}, FalseShare: ask.FalseShare})
	if err != nil {
		return err
	}
	for i := range tells.Tells.Tells {
		x := &tells.Tells.Tells[i]
		// a share of a few plays beside another is no tell, only noise: the page of all tells has it
		if few := min(x.With, x.Without) < tendency.Thin; len(page.Tells) < 6 && (x.Stands || !few) {
			page.Tells = append(page.Tells, Told{Situation: x.Situation, Dimension: x.Dimension, Value: x.Value,
				Outcome: x.Outcome, ShareWith: x.ShareWith, ShareOther: x.ShareOther,
				With: x.With, Without: x.Without, Stands: x.Stands})
		}
	}
	return nil
}

// behindPage lists the snaps behind a row, each with its film.
func (s *Site) behindPage(c echo.Context) error {
	o, err := s.desk.Opponent(c)
	if err != nil {
		return err
	}
	sh, err := s.shell(c, "Snaps: "+o.Name, "tendencies", "")
	if err != nil {
		return err
	}
	ctx, p := c.Request().Context(), door.ProgramOf(c)
	games, err := desk.Every(ctx, s.store.Games(), p.ID, map[string]string{"opponent_id": o.ID.String()})
	if err != nil {
		return err
	}
	label := map[uuid.UUID]string{}
	for i := range games {
		label[games[i].ID] = games[i].Label
	}
	ps, err := s.store.CountedPlays(ctx, p, narrowed(c, o))
	if err != nil {
		return err
	}
	b := &Behind{Base: sh.Base(), Program: sh.Home(), Asked: Asked(c.QueryParams())}
	for i := range ps {
		b.Rows = append(b.Rows, BehindRow{Row: filmroom.Row{Number: ps[i].Number, Play: &ps[i]},
			Game: label[ps[i].GameID]})
	}
	if err := s.letFilmIn(c, ps); err != nil {
		return err
	}
	sh.Scripts = []string{"callkit.js", "reel.js"}
	return s.show(c, http.StatusOK, sh, "behind.html", b)
}

// letFilmIn lets a page show the films of the games that some plays are of.
func (s *Site) letFilmIn(c echo.Context, ps []tags.Play) error {
	games := map[uuid.UUID]bool{}
	for i := range ps {
		games[ps[i].GameID] = true
	}
	var films []tags.Film
	for id := range games {
		fs, err := desk.Every(c.Request().Context(), s.store.Films(), door.ProgramOf(c).ID,
			map[string]string{"game_id": id.String()})
		if err != nil {
			return err
		}
		films = append(films, fs...)
	}
	showsFilm(c, films)
	return nil
}
