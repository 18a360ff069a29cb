package httpapi

import (
	"fmt"
	"io"
	"mime"
	"net/http"
	"os"
	"strings"
	"time"

	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/labstack/echo/v4"

	"overhang/internal/desk"
	"overhang/internal/door"
	"overhang/internal/tags/film"
)

func init() {
	// Clip lists are read by package film, which names every bad row; the
	// validator's own reader of CSV would stop at the first with other words.
	for _, kind := range []string{"text/csv", "text/vtt"} {
		openapi3filter.RegisterBodyDecoder(kind, openapi3filter.FileBodyDecoder)
	}
}

// stall is how long a reader of film may take nothing before being let go; a
// player that was paused asks again for the rest.
const stall = time.Minute

// video serves a local film with byte ranges (RFC 9110, 14).
func (s *server) video(c echo.Context) error {
	id, err := desk.Identity(c, "films")
	if err != nil {
		return err
	}
	p := door.ProgramOf(c)
	f, err := s.store.Films().Get(c.Request().Context(), p.ID, id)
	if err != nil {
		return err
	}
	r, err := s.films.Open(p.Code, f.Location)
	if err != nil {
		return err
	}
	defer r.Close()
	h := c.Response().Header()
	h.Set(echo.HeaderContentType, r.Kind)
	h.Set("ETag", fmt.Sprintf(`"%x-%x"`, r.Info.Size(), r.Info.ModTime().UnixNano()))
	unit(c.Request().Header)
	// No name: what a file is called is nobody's business but the staff's.
	http.ServeContent(c.Response(), c.Request(), "", r.Info.ModTime(),
		steady{r.File, http.NewResponseController(c.Response())})
	return nil
}

// unit keeps a Range in bytes, in whatever letters, and drops any other: a unit
// that a server does not know must be ignored (RFC 9110, 14.2), which the
// standard library refuses instead.
func unit(h http.Header) {
	of, ranges, ok := strings.Cut(h.Get("Range"), "=")
	if !ok || !strings.EqualFold(of, "bytes") {
		h.Del("Range")
		return
	}
	h.Set("Range", "bytes="+ranges)
}

// steady reads a film and gives the writer of the answer a minute more with
// every piece: a game of film takes longer to watch than any other answer may.
type steady struct {
	*os.File
	answer *http.ResponseController
}

func (s steady) Read(p []byte) (int, error) {
	s.answer.SetWriteDeadline(time.Now().Add(stall)) // a recorder in a test has none, which is no harm
	return s.File.Read(p)
}

// loadClips takes a clip list, all of it or nothing.
func (s *server) loadClips(c echo.Context) error {
	id, err := desk.Identity(c, "films")
	if err != nil {
		return err
	}
	read := film.ReadVTT
	if kind, _, _ := mime.ParseMediaType(c.Request().Header.Get(echo.HeaderContentType)); kind == "text/csv" {
		read = film.ReadCSV
	}
	list, err := read(c.Request().Body)
	if err != nil {
		return err
	}
	n, err := s.store.LoadClips(c.Request().Context(), door.ProgramOf(c).ID, id, list.Clips)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, map[string]int{"added": n.Inserted, "changed": n.Updated, "unchanged": n.Unchanged,
		"texts_ignored": list.Ignored})
}

// listOfClips gives a film's clips as a WebVTT metadata track, or as CSV.
func (s *server) listOfClips(c echo.Context) error {
	id, err := desk.Identity(c, "films")
	if err != nil {
		return err
	}
	clips, plays, err := s.store.FilmClips(c.Request().Context(), door.ProgramOf(c).ID, id)
	if err != nil {
		return err
	}
	if form(c) == "csv" {
		return written(c, "text/csv; charset=utf-8; header=present", func(w io.Writer) error {
			return film.WriteCSV(w,
				clips)
		})
	}
	cues := make([]film.Cue, len(clips))
	for i := range clips {
		cues[i].Clip = clips[i]
		if id := clips[i].PlayID; id != nil {
			p := plays[*id]
			cues[i].Play = &p
		}
	}
	return written(c, "text/vtt; charset=utf-8", func(w io.Writer) error { return film.WriteVTT(w, cues) })
}
