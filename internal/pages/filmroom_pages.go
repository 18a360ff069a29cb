package pages

import (
	"context"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"overhang/internal/desk"
	"overhang/internal/door"
	"overhang/internal/reports/filmroom"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/film"
)

// filmRoom serves the pages an analyst works on.
func (s *Site) filmRoom(e *echo.Echo) {
	e.GET("/programs/:program/games", s.gamesPage)
	e.GET("/programs/:program/games/:id", s.snapsPage)
	e.POST("/programs/:program/games/:id", s.gameForm)
	e.GET("/programs/:program/games/:id/tag", s.taggingPage)
	e.GET("/programs/:program/games/:id/differ", s.differPage)
}

// head finds the game of a page.
func (s *Site) head(c echo.Context) (h filmroom.Head, err error) {
	id, err := desk.Identity(c, "games")
	if err != nil {
		return h, err
	}
	ctx := c.Request().Context()
	h.Program = door.ProgramOf(c)
	if h.Game, err = s.store.Games().Get(ctx, h.Program.ID, id); err != nil {
		return h, err
	}
	h.Opponent, err = s.store.Opponents().Get(ctx, h.Program.ID, h.Game.OpponentID)
	return h, err
}

// filmShell is the bar of a page of a game: the opponent is the game's.
func (s *Site) filmShell(c echo.Context, h filmroom.Head, title, step string) (*Shell, error) {
	sh, err := s.shell(c, title+": "+h.Opponent.Name+", "+h.Game.Label, step, "")
	if err == nil {
		sh.Opponent = &h.Opponent
	}
	return sh, err
}

func (s *Site) gamesPage(c echo.Context) error {
	ctx, p := c.Request().Context(), door.ProgramOf(c)
	os, err := desk.Every(ctx, s.store.Opponents(), p.ID, nil)
	if err != nil {
		return err
	}
	out := filmroom.Games{Program: p, May: s.mayAdd(c)}
	for i := range os {
		gs, err := desk.Every(ctx, s.store.Games(), p.ID, map[string]string{"opponent_id": os[i].ID.String()})
		if err != nil {
			return err
		}
		out.Opponents = append(out.Opponents, filmroom.OpponentGames{Opponent: os[i], Games: gs})
	}
	sh, err := s.shell(c, "Games", "", "games")
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, sh, "games.html", out)
}

func (s *Site) snapsPage(c echo.Context) error {
	h, err := s.head(c)
	if err != nil {
		return err
	}
	ctx, of := c.Request().Context(), map[string]string{"game_id": h.Game.ID.String()}
	ps, err := desk.Every(ctx, s.store.Plays(), h.Program.ID, of)
	if err != nil {
		return err
	}
	fs, err := desk.Every(ctx, s.store.Films(), h.Program.ID, of)
	if err != nil {
		return err
	}
	clips := map[int]int{}
	for i := range fs {
		cs, _, err := s.store.FilmClips(ctx, h.Program.ID, fs[i].ID)
		if err != nil {
			return err
		}
		for k := range cs {
			if n := cs[k].Number; n != nil {
				clips[*n]++
			}
		}
	}
	f := filmroom.Filter{Only: c.QueryParam("only"), Missing: c.QueryParam("missing"), Down: c.QueryParam("down")}
	page := filmroom.NewSnaps(h, ps, clips, f)
	page.MaySettle = door.RoleOf(c).Reaches(staff.Coordinator)
	if h.Game.Ours {
		if err := s.ofOurGame(c, page); err != nil {
			return err
		}
	}
	sh, err := s.filmShell(c, h, "Snaps", "tags")
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, sh, "snaps.html", page)
}

// ofOurGame adds what only the page of our own game shows.
func (s *Site) ofOurGame(c echo.Context, page *filmroom.Snaps) (err error) {
	ctx, p := c.Request().Context(), page.Program
	page.MayTeach = s.mayTeach(c)
	if page.Unsaid, err = s.unsaid(ctx, p); err != nil {
		return err
	}
	heads, err := desk.Every(ctx, s.store.PlanHeads(), p.ID, map[string]string{"opponent_id": page.Opponent.ID.String()})
	for _, h := range heads {
		if h.GameID == nil || *h.GameID == page.Game.ID {
			page.Plans = append(page.Plans, h)
		}
	}
	return err
}

// unsaid are the active calls that the vocabulary has no coverage for.
func (s *Site) unsaid(ctx context.Context, p tags.Program) (out []string, err error) {
	v, err := s.store.Vocabulary(ctx, p.ID)
	if err != nil {
		return nil, err
	}
	calls, err := desk.Every(ctx, s.store.Calls(), p.ID, map[string]string{"active": "true"})
	for i := range calls {
		if _, ok := v.Lookup("coverage", calls[i].Name); !ok {
			out = append(out, calls[i].Name)
		}
	}
	return out, err
}

// mayTeach says whether the visitor may put words into the vocabulary.
func (s *Site) mayTeach(c echo.Context) bool {
	return door.RoleOf(c).Reaches(s.desk.Needs(http.MethodPost, "/v1/programs/{program}/words"))
}

// gameForm does what one of the buttons of a game's page asks, and shows it again.
func (s *Site) gameForm(c echo.Context) error {
	name, err := desk.Analyst(c)
	if err != nil {
		return err
	}
	if c.FormValue("words") == "add" {
		err = s.teachCalls(c, name)
	} else {
		err = s.whoseGame(c, name)
	}
	if err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, c.Request().URL.Path)
}

// teachCalls puts the names of our calls among the vocabulary's coverages.
func (s *Site) teachCalls(c echo.Context, who string) error {
	if !s.mayTeach(c) {
		return echo.NewHTTPError(http.StatusForbidden, "words are for a program's coordinator")
	}
	ctx, p := c.Request().Context(), door.ProgramOf(c)
	names, err := s.unsaid(ctx, p)
	if err != nil {
		return err
	}
	var words []tags.Word
	for _, n := range names {
		words = append(words, tags.Word{Field: "coverage", Word: n})
	}
	return s.store.By(who).AddWords(ctx, p.ID, words)
}

// whoseGame marks a game as ours, or not.
func (s *Site) whoseGame(c echo.Context, who string) error {
	id, err := desk.Identity(c, "games")
	if err != nil {
		return err
	}
	ours := c.FormValue("ours")
	seen, err := strconv.ParseInt(c.FormValue("version"), 10, 64)
	if err != nil || ours != "yes" && ours != "no" {
		return tags.Fieldf(tags.Invalid, "ours", "must be yes or no, with the version you saw")
	}
	ctx, p, games := c.Request().Context(), door.ProgramOf(c), s.store.Games().By(who)
	g, err := games.Get(ctx, p.ID, id)
	if err != nil {
		return err
	}
	g.Ours = ours == "yes"
	_, err = games.Replace(ctx, p.ID, id, seen, g)
	return err
}

func (s *Site) taggingPage(c echo.Context) error {
	h, err := s.head(c)
	if err != nil {
		return err
	}
	ctx := c.Request().Context()
	ws, err := desk.Every(ctx, s.store.Words(), h.Program.ID, nil)
	if err != nil {
		return err
	}
	slices.SortFunc(ws, func(a, b tags.Word) int { return strings.Compare(a.Word, b.Word) })
	fs, err := desk.Every(ctx, s.store.Films(), h.Program.ID, map[string]string{"game_id": h.Game.ID.String()})
	if err != nil {
		return err
	}
	showsFilm(c, fs)
	page := filmroom.NewTagging(h, ws, s.tags)
	if w := door.Visitor(c); w != nil {
		page.SignedIn = w.Login
	}
	sh, err := s.filmShell(c, h, "Tagging", "film")
	if err != nil {
		return err
	}
	sh.Wide, sh.Styles = true, []string{"filmroom.css"}
	sh.Scripts = []string{"sketch.js", "shelf.js", "usual.js", "tagkeys.js", "tagging.js"}
	return s.show(c, http.StatusOK, sh, "tagging.html", page)
}

// showsFilm lets the page load films from where they lie.
func showsFilm(c echo.Context, fs []tags.Film) {
	const policy = echo.HeaderContentSecurityPolicy
	header := c.Response().Header()
	header.Set(policy, strings.Replace(header.Get(policy), "media-src 'self'",
		"media-src "+strings.Join(sources(fs), " "), 1))
}

// hostForm is a host and port that can stand in a policy without ending it.
var hostForm = regexp.MustCompile(`^[A-Za-z0-9.-]+(:\d{1,5})?$`)

// sources are where a page may load the films from: here, and the addresses of
// the game's own films, which the browser fetches and not the server.
func sources(fs []tags.Film) []string {
	out := []string{"'self'"}
	for i := range fs {
		if !film.Remote(fs[i].Location) {
			continue
		}
		u, err := url.Parse(fs[i].Location)
		if err != nil || !hostForm.MatchString(u.Host) || u.Scheme != "http" && u.Scheme != "https" {
			continue
		}
		if src := u.Scheme + "://" + u.Host; !slices.Contains(out, src) {
			out = append(out, src)
		}
	}
	return out
}
