package pages

import (
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/desk"
	"overhang/internal/door"
	"overhang/internal/staff"
	"overhang/internal/tags"
)

// nounPages serves the pages on which opponents, games, words and settings are made
// and edited; their forms are sent to the API by forms.js.
func (s *Site) nounPages(e *echo.Echo) {
	e.GET(programPath+"/opponents", s.opponentsPage)
	e.GET(programPath+"/opponents/new", s.opponentForm)
	e.GET(opponentPath+"/edit", s.opponentForm)
	e.GET(programPath+"/games/new", s.newGame)
	e.GET(programPath+"/games/:id/edit", s.newGame)
	e.GET(programPath+"/settings", s.settingsPage)
	e.GET(programPath+"/import", s.importPage)
	e.GET(programPath+"/words", s.wordsPage)
}

// formShell is shell for a page with forms.
func (s *Site) formShell(c echo.Context, title, place string) (*Shell, error) {
	sh, err := s.shell(c, title, "", place)
	if err == nil {
		sh.Scripts = []string{"forms.js"}
	}
	return sh, err
}

func (s *Site) opponentsPage(c echo.Context) error {
	sh, err := s.shell(c, "Opponents", "", "opponents")
	if err != nil {
		return err
	}
	f := &Form{Base: sh.Home(), Opponents: sh.Opponents, May: s.mayAdd(c)}
	return s.show(c, http.StatusOK, sh, "opponents.html", f)
}

// mayAdd reports whether the visitor may add and edit opponents and games.
func (s *Site) mayAdd(c echo.Context) bool {
	return door.RoleOf(c).Reaches(s.desk.Needs(http.MethodPost, "/v1/programs/{program}/opponents"))
}

// cannotAdd is told to who opens a form that could only be refused.
var cannotAdd = echo.NewHTTPError(http.StatusForbidden,
	"you can read this program; its analysts add opponents and games")

func (s *Site) opponentForm(c echo.Context) error {
	if !s.mayAdd(c) {
		return cannotAdd
	}
	f := &Form{}
	if c.Param("opponent") != "" {
		o, err := s.desk.Opponent(c)
		if err != nil {
			return err
		}
		f.Opponent = &o
	}
	sh, err := s.formShell(c, "Opponent", "opponents")
	if err != nil {
		return err
	}
	f.Base = sh.Home()
	return s.show(c, http.StatusOK, sh, "opponent-form.html", f)
}

func (s *Site) newGame(c echo.Context) error {
	if !s.mayAdd(c) {
		return cannotAdd
	}
	sh, err := s.formShell(c, "Game", "games")
	if err != nil {
		return err
	}
	f := &Form{Base: sh.Home(), Opponents: sh.Opponents}
	if sh.Opponent != nil {
		f.For = sh.Opponent.ID
	}
	if c.Param("id") != "" {
		h, err := s.head(c)
		if err != nil {
			return err
		}
		f.Game, f.For = &h.Game, h.Game.OpponentID
	}
	return s.show(c, http.StatusOK, sh, "game-form.html", f)
}

func (s *Site) importPage(c echo.Context) error {
	sh, err := s.shell(c, "Import a spreadsheet", "tags", "")
	if err != nil {
		return err
	}
	sh.Scripts = []string{"callkit.js", "import.js"}
	f := &Form{Base: sh.Home(), Opponents: sh.Opponents, Opponent: sh.Opponent,
		May: door.RoleOf(c).Reaches(staff.Coordinator)}
	return s.show(c, http.StatusOK, sh, "import.html", f)
}

func (s *Site) settingsPage(c echo.Context) error {
	sh, err := s.formShell(c, "Settings", "settings")
	if err != nil {
		return err
	}
	p := *sh.Program
	p.Settings.DistanceBands = append(slices.Clone(p.Settings.DistanceBands), tags.Band{})
	p.Settings.FieldZones = append(slices.Clone(p.Settings.FieldZones), tags.Band{})
	f := &Form{Base: sh.Home(), Program: p, May: door.RoleOf(c).Reaches(staff.Coordinator), Zones: TimeZones,
		Opponents: sh.Opponents, Men: append(slices.Clone(p.Settings.OurMen), tags.OurMan{}, tags.OurMan{})}
	if p.Settings.TimeZone != "" && !slices.Contains(f.Zones, p.Settings.TimeZone) {
		f.Zones = append([]string{p.Settings.TimeZone}, f.Zones...)
	}
	men, err := ask.Positions(c.Request().Context(), s.store, p)
	if err != nil {
		return err
	}
	ours := p.Settings.Names()
	for _, m := range men {
		f.Positions = append(f.Positions, PositionWord{Position: m.Position,
			Name: ours[strings.ToLower(m.Position)], Calls: len(m.Calls)})
	}
	return s.show(c, http.StatusOK, sh, "settings.html", f)
}

func (s *Site) wordsPage(c echo.Context) error {
	sh, err := s.formShell(c, "Words", "words")
	if err != nil {
		return err
	}
	w := &Words{Base: sh.Home(), Fields: tags.Allowed("vocabulary"), Field: c.QueryParam("field"),
		May: s.mayTeach(c), Aliases: map[string][]tags.Word{}}
	if !slices.Contains(w.Fields, w.Field) {
		w.Field = "concept"
	}
	all, err := desk.Every(c.Request().Context(), s.store.Words(), sh.Program.ID, map[string]string{"field": w.Field})
	if err != nil {
		return err
	}
	slices.SortFunc(all, func(a, b tags.Word) int { return strings.Compare(a.Word, b.Word) })
	w.take(all)
	return s.show(c, http.StatusOK, sh, "words.html", w)
}

// take sorts the words: those that wait for a look, and the known ones with their aliases.
func (w *Words) take(all []tags.Word) {
	for _, x := range all {
		if x.Pending {
			w.Pending = append(w.Pending, x)
			continue
		}
		w.Words = append(w.Words, x)
		if x.AliasOf != nil {
			w.Aliases[*x.AliasOf] = append(w.Aliases[*x.AliasOf], x)
		}
	}
}
