package wire

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/labstack/echo/v4"
)

// worthZipping is the shortest body that is compressed, in bytes.
const worthZipping = 1000

// Answers holds back the answer to a GET until it is whole, gives it an ETag where it has
// none, and sends it compressed where that is asked for, or not at all to who has it
// already (If-None-Match; RFC 9110, 13.1.2). Paths that streams names go by untouched.
//
// An ETag made here is weak: a version compressed and one as it is are the same. One that
// names a version of something stored is strong, since If-Match needs it so, and such an
// answer is never compressed (8.8.3.3 of the RFC).
//
// A handler that flushes sends what it has at once, and the rest when it is done; such an
// answer has no ETag.
func Answers(streams func(c echo.Context) bool) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			if c.Request().Method != http.MethodGet || streams(c) {
				return next(c)
			}
			to := c.Response().Writer
			held := &held{c: c, to: to, header: to.Header(), status: http.StatusOK, body: bodies.Get().(*bytes.Buffer)}
			c.Response().Writer = held
			whole := false
			defer held.letGo()
			defer func() {
				c.Response().Writer = to
				if held.zipped != nil {
					held.unzip()
				}
				if !whole && !held.begun { // it failed or panicked, and nothing was sent: somebody can still say so
					c.Response().Committed, c.Response().Size = false, 0
					held.header.Del("ETag")
					held.header.Del(echo.HeaderContentDisposition)
				}
			}()
			if err := next(c); err != nil {
				return err
			}
			whole = true
			held.send()
			return nil
		}
	}
}

// A held answer waits in memory, until it is whole or flushed.
type held struct {
	c      echo.Context
	to     http.ResponseWriter
	header http.Header
	status int
	sent   bool
	body   *bytes.Buffer
	begun  bool         // it was flushed
	zipped *gzip.Writer // where it goes since then, nil: as it is
}

// bodies are used again, but for the long ones.
var bodies = sync.Pool{New: func() any { return new(bytes.Buffer) }}

const longBody = 1 << 20

// letGo gives the body back, of which nobody keeps anything.
func (h *held) letGo() {
	if h.body.Cap() <= longBody {
		h.body.Reset()
		bodies.Put(h.body)
	}
	h.body = nil
}

func (h *held) Header() http.Header { return h.header }

func (h *held) WriteHeader(status int) { h.status, h.sent = status, true }

func (h *held) Write(p []byte) (int, error) {
	h.sent = true
	switch {
	case h.zipped != nil:
		return h.zipped.Write(p)
	case h.begun:
		return h.to.Write(p)
	}
	return h.body.Write(p)
}

// Flush sends what there is, and what comes then as it comes. Only what may be compressed is
// flushed: a page.
func (h *held) Flush() {
	if !h.begun {
		h.begun = true
		h.header.Del("ETag")
		if h.zippable() && h.wantsZip() {
			h.header.Set(echo.HeaderContentEncoding, "gzip")
			h.zipped = zippers.Get().(*gzip.Writer)
			h.zipped.Reset(h.to)
		}
		h.to.WriteHeader(h.status)
		h.Write(h.body.Bytes()) // a client that left is nobody to tell
	}
	if h.zipped != nil {
		h.zipped.Flush()
	}
	http.NewResponseController(h.to).Flush()
}

// unzip ends what was compressed as it came.
func (h *held) unzip() {
	h.zipped.Close()
	zippers.Put(h.zipped)
	h.zipped = nil
}

// zippable reports whether the body shrinks, and says to caches that who takes that gets
// another answer.
func (h *held) zippable() bool {
	if !compressible(h.header.Get(echo.HeaderContentType)) {
		return false
	}
	h.header.Add(echo.HeaderVary, echo.HeaderAcceptEncoding)
	return true
}

// wantsZip reports whether the client takes what is compressed.
func (h *held) wantsZip() bool {
	return takesGzip(strings.Join(h.c.Request().Header.Values(echo.HeaderAcceptEncoding), ","))
}

// send sends what was held.
func (h *held) send() {
	if !h.sent || h.begun {
		return // nothing was said: the server sends its own 200; or all of it is on its way
	}
	c, to := h.c, h.to
	body, zippable := h.body.Bytes(), h.zippable()
	if h.status == http.StatusOK {
		if h.header.Get("ETag") == "" {
			h.header.Set("ETag", tagOf(body))
		}
		if has(c.Request().Header.Values("If-None-Match"), h.header.Get("ETag")) {
			h.header.Del(echo.HeaderContentType)
			h.header.Del(echo.HeaderContentDisposition)
			c.Response().Status, c.Response().Size = http.StatusNotModified, 0
			to.WriteHeader(http.StatusNotModified)
			return
		}
	}
	strong := strings.HasPrefix(h.header.Get("ETag"), `"`)
	if zippable && !strong && len(body) >= worthZipping && h.header.Get(echo.HeaderContentEncoding) == "" && h.wantsZip() {
		body = zip(body)
		h.header.Set(echo.HeaderContentEncoding, "gzip")
	}
	if h.status != http.StatusNoContent && h.status != http.StatusNotModified {
		h.header.Set(echo.HeaderContentLength, strconv.Itoa(len(body)))
	}
	c.Response().Size = int64(len(body))
	to.WriteHeader(h.status)
	to.Write(body) // a client that left is nobody to tell
}

// tagOf is a weak ETag of a body.
func tagOf(body []byte) string {
	sum := sha256.Sum256(body)
	return `W/"` + hex.EncodeToString(sum[:8]) + `"`
}

// has reports whether If-None-Match names a tag, by weak comparison, or any.
func has(header []string, tag string) bool {
	bare := strings.TrimPrefix(tag, "W/")
	return slices.ContainsFunc(strings.Split(strings.Join(header, ","), ","), func(t string) bool {
		t = strings.TrimSpace(t)
		return t == "*" || strings.TrimPrefix(t, "W/") == bare
	})
}

// compressible reports whether bodies of a media type shrink.
func compressible(contentType string) bool {
	k, _, _ := strings.Cut(contentType, ";")
	return strings.HasPrefix(k, "text/") || strings.HasSuffix(k, "json") || strings.HasSuffix(k, "yaml") ||
		strings.HasSuffix(k, "javascript") || k == "image/svg+xml"
}

// zippers are used again: one has some 800 kB of tables.
var zippers = sync.Pool{New: func() any {
	w, _ := gzip.NewWriterLevel(nil, 5) // the level is a valid one
	return w
}}

func zip(body []byte) []byte {
	var b bytes.Buffer
	w := zippers.Get().(*gzip.Writer)
	defer zippers.Put(w)
	w.Reset(&b)
	w.Write(body) // to memory: it does not fail
	w.Close()
	return b.Bytes()
}
