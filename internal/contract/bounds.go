package contract

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"overhang/internal/tags"
)

// What a JSON body may be made of. The largest that is sent honestly, a book's call
// with checks, has some 900 keys, 8 deep; a bulk edit names some thousand plays.
const (
	mostDeep   = 24
	mostKeys   = 20_000 // in the body
	mostInOne  = 256    // in one object
	longestKey = 200    // bytes
	longestStr = 64_000 // bytes
)

// boundedBody refuses a JSON body that would cost more to judge than to read: before
// the document is asked, which looks at every key.
func boundedBody(req *http.Request) error {
	if req.Body == nil || req.Body == http.NoBody || !strings.Contains(req.Header.Get(echo.HeaderContentType), "json") {
		return nil
	}
	raw, err := io.ReadAll(req.Body)
	if err != nil {
		return echo.NewHTTPError(http.StatusBadRequest, "the body did not arrive whole")
	}
	req.Body = io.NopCloser(bytes.NewReader(raw))
	if why := excess(raw); why != "" {
		return tags.Fieldf(tags.Invalid, "body", "%s", why)
	}
	return nil
}

// excess says which bound a JSON text breaks, "" when none or when it is no JSON:
// that is told with its place later.
func excess(raw []byte) string {
	dec := json.NewDecoder(bytes.NewReader(raw))
	var inside []int // by depth: keys and values of an object so far, -1 of an array
	keys := 0
	for {
		t, err := dec.Token()
		if err != nil {
			return ""
		}
		d, delim := t.(json.Delim)
		if n := len(inside); n > 0 && inside[n-1] >= 0 && !(delim && (d == '}' || d == ']')) {
			if inside[n-1]%2 == 0 {
				keys++
				if s, _ := t.(string); len(s) > longestKey {
					return fmt.Sprintf("has a key of more than %d bytes", longestKey)
				}
			}
			if inside[n-1]++; inside[n-1] > 2*mostInOne {
				return fmt.Sprintf("has an object with more than %d keys", mostInOne)
			}
		}
		switch {
		case delim && d == '{':
			inside = append(inside, 0)
		case delim && d == '[':
			inside = append(inside, -1)
		case delim:
			inside = inside[:len(inside)-1]
		}
		s, _ := t.(string)
		switch {
		case len(inside) > mostDeep:
			return fmt.Sprintf("is nested more than %d deep", mostDeep)
		case keys > mostKeys:
			return fmt.Sprintf("has more than %d keys", mostKeys)
		case len(s) > longestStr:
			return fmt.Sprintf("has a text of more than %d bytes", longestStr)
		}
	}
}
