package pages

import (
	"bytes"
	"errors"
	"html/template"
	"net/http"
	"sync"
	"time"

	"github.com/labstack/echo/v4"

	"overhang/internal/wire"
)

// soon is how long a page's answer may take until its bar is shown without it.
const soon = 100 * time.Millisecond

// errBroke is told where what a page was to show broke while its bar stood there.
var errBroke = errors.New("the answer broke")

// A late page sends its bar, and that something is being worked out, before it knows what it
// is to show: it is read from top to bottom, with a script or without.
type late struct {
	mu         sync.Mutex
	done       bool // the answer is there: it is too late for the bar alone
	begun      bool // the bar was sent
	head, foot []byte
}

// showLate answers with a page of a template; what it shows is asked for here. Where that takes
// longer than soon, the page's bar and what is being worked out ("the board") are sent ahead,
// and what goes wrong then stands on the page, since its status is out, and the answer is cut short.
func (s *Site) showLate(c echo.Context, sh *Shell, what, name string, ask func() (any, error)) error {
	l, err := newLate(sh, what)
	if err != nil {
		return err
	}
	timer := time.AfterFunc(soon, func() { l.begin(c) })
	defer timer.Stop()
	var body bytes.Buffer
	err = errBroke // it is, where ask panics
	defer func() {
		if l.end() {
			s.rest(c, sh, l, body.Bytes(), err)
		}
	}()
	err = func() error {
		data, err := ask()
		if err != nil {
			return err
		}
		return sh.templates().ExecuteTemplate(&body, name, data)
	}()
	if l.end() {
		return nil
	}
	if err != nil {
		return err
	}
	var page bytes.Buffer
	if err := sh.Around(&page, template.HTML(body.String())); err != nil { // a template of ours, which escapes
		return err
	}
	return c.Blob(http.StatusOK, "text/html; charset=utf-8", page.Bytes())
}

// newLate makes what stands around the answer.
func newLate(sh *Shell, what string) (*late, error) {
	const here = "<!--here-->"
	var waits, all bytes.Buffer
	if err := sh.templates().ExecuteTemplate(&waits, "waits.html", what); err != nil {
		return nil, err
	}
	if err := sh.Around(&all, template.HTML(waits.String()+here)); err != nil {
		return nil, err
	}
	head, foot, _ := bytes.Cut(all.Bytes(), []byte(here))
	return &late{head: head, foot: foot}, nil
}

// begin sends the bar, unless the answer is there.
func (l *late) begin(c echo.Context) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.done {
		return
	}
	l.begun = true
	c.Response().Header().Set(echo.HeaderContentType, "text/html; charset=utf-8")
	c.Response().WriteHeader(http.StatusOK)
	c.Response().Write(l.head) // a client that left is nobody to tell
	c.Response().Flush()
}

// end keeps the bar from being sent alone, and reports whether it was.
func (l *late) end() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.done = true
	return l.begun
}

// rest sends the rest of a page whose bar was sent: what it shows, or what went wrong. The log
// and the figures have the status it would have had.
func (s *Site) rest(c echo.Context, sh *Shell, l *late, body []byte, err error) {
	if err != nil {
		f := s.failure(err, c)
		f.ID, f.Back = c.Response().Header().Get(echo.HeaderXRequestID), "/"
		if !sh.Alone {
			f.Back = sh.Base()
		}
		var said bytes.Buffer
		if sh.templates().ExecuteTemplate(&said, "error.html", f) != nil {
			wire.CutShort(c) // nothing can be said
			return
		}
		body = said.Bytes()
		wire.CutShort(c)
		defer func() { c.Response().Status = f.Status }()
	}
	c.Response().Write(body) // a client that left is nobody to tell
	c.Response().Write(l.foot)
}
