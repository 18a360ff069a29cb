package pages

import (
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"overhang/internal/desk"
	"overhang/internal/door"
	"overhang/internal/tags"
)

// callPages serves the call book and its editor; their scripts draw and store through
// the API.
func (s *Site) callPages(e *echo.Echo) {
	e.GET(programPath+"/calls", s.callBookPage)
	e.GET(programPath+"/calls/new", s.editorPage)
	e.GET(programPath+"/calls/compare", s.comparePage)
	e.GET(programPath+"/calls/:id", s.editorPage)
	e.GET(programPath+"/calls/:id/versions", s.versionsPage)
}

// ourCalls are the program's calls by name, those turned on first.
func (s *Site) ourCalls(c echo.Context) ([]tags.Call, error) {
	calls, err := desk.Every(c.Request().Context(), s.store.Calls(), door.ProgramOf(c).ID, nil)
	slices.SortFunc(calls, func(a, b tags.Call) int {
		if a.Active != b.Active {
			if a.Active {
				return -1
			}
			return 1
		}
		return strings.Compare(a.Name, b.Name)
	})
	return calls, err
}

func (s *Site) callBookPage(c echo.Context) error {
	sh, err := s.shell(c, "Call book", "", "calls")
	if err != nil {
		return err
	}
	calls, err := s.ourCalls(c)
	if err != nil {
		return err
	}
	sh.Scripts = []string{"callkit.js", "callbook.js"}
	return s.show(c, http.StatusOK, sh, "callbook.html", &CallBook{Base: sh.Home(), Calls: calls, May: mayPlan(c)})
}

func (s *Site) editorPage(c echo.Context) error {
	sh, err := s.shell(c, "New call", "", "calls")
	if err != nil {
		return err
	}
	ed := NewEditor()
	ed.Base, ed.May = sh.Home(), mayPlan(c)
	if c.Param("id") != "" {
		if ed.Call, err = s.callOf(c); err != nil {
			return err
		}
		sh.Title = ed.Call.Name
	}
	if ed.Calls, err = s.ourCalls(c); err != nil {
		return err
	}
	sh.Wide, sh.Scripts = true, []string{"callkit.js", "fieldkit.js", "suggest.js", "callbody.js",
		"manform.js", "editor.js"}
	sh.Styles = []string{"field.css"}
	return s.show(c, http.StatusOK, sh, "editor.html", ed)
}

// callOf is the call that the address names.
func (s *Site) callOf(c echo.Context) (*tags.Call, error) {
	id, err := desk.Identity(c, "calls")
	if err != nil {
		return nil, err
	}
	v, err := s.store.Calls().Get(c.Request().Context(), door.ProgramOf(c).ID, id)
	return &v, err
}

func (s *Site) versionsPage(c echo.Context) error {
	sh, err := s.shell(c, "Versions", "", "calls")
	if err != nil {
		return err
	}
	id, err := desk.Identity(c, "calls")
	if err != nil {
		return err
	}
	v, err := s.store.Calls().Get(c.Request().Context(), sh.Program.ID, id)
	if err != nil {
		return err
	}
	sh.Title, sh.Wide = "Versions of "+v.Name, true
	sh.Scripts = []string{"callkit.js", "calldiff.js", "versions.js"}
	return s.show(c, http.StatusOK, sh, "versions.html", &Editor{Base: sh.Home(), Call: &v, May: mayPlan(c)})
}

func (s *Site) comparePage(c echo.Context) error {
	sh, err := s.shell(c, "Two calls side by side", "", "calls")
	if err != nil {
		return err
	}
	ed := NewEditor()
	ed.Base = sh.Home()
	if ed.Calls, err = s.ourCalls(c); err != nil {
		return err
	}
	if sh.Opponent != nil {
		ed.Against = sh.Opponent.Name
	}
	sh.Wide, sh.Scripts = true, []string{"callkit.js", "fieldkit.js", "calldiff.js", "compare.js"}
	return s.show(c, http.StatusOK, sh, "compare.html", ed)
}
