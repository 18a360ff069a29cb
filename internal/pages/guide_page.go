package pages

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"overhang/internal/reports/drawing"
)

// guide serves what explains the program; it shows nothing of anybody's.
func (s *Site) guide(e *echo.Echo) {
	e.GET("/guide", func(c echo.Context) error {
		sh, err := s.shell(c, "Guide", "", "")
		if err != nil {
			return err
		}
		return s.show(c, http.StatusOK, sh, "guide.html", NewEditor())
	})
	e.GET("/guide/key", func(c echo.Context) error {
		sh, err := s.shell(c, "Key to the drawings", "", "")
		if err != nil {
			return err
		}
		signs, err := Drawn(drawing.Legend(150))
		if err != nil {
			return err
		}
		return s.show(c, http.StatusOK, sh, "key.html", signs)
	})
	e.GET("/guide/look", func(c echo.Context) error {
		sh, err := s.shell(c, "The look", "", "")
		if err != nil {
			return err
		}
		sample, err := Drawn(drawing.Legend(120))
		if err != nil {
			return err
		}
		return s.show(c, http.StatusOK, sh, "look.html", sample)
	})
}
