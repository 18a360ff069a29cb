package contract

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"net/http"
	"strconv"
	"strings"
	"unicode/utf8"

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
	if how := req.Header.Get(echo.HeaderContentEncoding); how != "" && how != "identity" {
		return echo.NewHTTPError(http.StatusUnsupportedMediaType, "send the body as it is, not as "+how)
	}
	raw, err := io.ReadAll(req.Body)
	if err != nil {
		return echo.NewHTTPError(http.StatusBadRequest, "the body did not arrive whole")
	}
	if !utf8.Valid(raw) { // read on, every such byte would become the same replacement character
		return echo.NewHTTPError(http.StatusBadRequest, "the body is not valid JSON: it is not UTF-8")
	}
	why, plain := excess(raw)
	if why != "" {
		return tags.Fieldf(tags.Invalid, "body", "%s", why)
	}
	req.Body = io.NopCloser(bytes.NewReader(plain))
	return nil
}

// whole writes a number without a fraction as an integer: what keeps every number as a float
// sends 1.0 for 1, and JSON Schema takes it for one.
func whole(n json.Number) string {
	f, err := n.Float64()
	if err != nil || f != math.Trunc(f) || math.Abs(f) > 1e15 {
		return n.String()
	}
	return strconv.FormatInt(int64(f), 10)
}

// excess says which bound a JSON text breaks, "" when none or when it is no JSON:
// that is told with its place later. plain is the text with its whole numbers as integers.
func excess(raw []byte) (why string, plain []byte) {
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.UseNumber()
	var inside []int // by depth: keys and values of an object so far, -1 of an array
	keys, copied, ended := 0, 0, false
	for {
		t, err := dec.Token()
		if len(inside) == 0 && ended && err != io.EOF {
			return "goes on after its end", raw
		}
		if err != nil && copied == 0 {
			return "", raw
		} else if err != nil {
			return "", append(plain, raw[copied:]...)
		}
		if n, ok := t.(json.Number); ok && strings.ContainsAny(n.String(), ".eE") {
			end := int(dec.InputOffset())
			plain = append(append(plain, raw[copied:end-len(n)]...), whole(n)...)
			copied = end
		}
		d, delim := t.(json.Delim)
		if n := len(inside); n > 0 && inside[n-1] >= 0 && !(delim && (d == '}' || d == ']')) {
			if inside[n-1]%2 == 0 {
				keys++
				if s, _ := t.(string); len(s) > longestKey {
					return fmt.Sprintf("has a key of more than %d bytes", longestKey), raw
				}
			}
			if inside[n-1]++; inside[n-1] > 2*mostInOne {
				return fmt.Sprintf("has an object with more than %d keys", mostInOne), raw
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
		ended = len(inside) == 0
		s, _ := t.(string)
		switch {
		case len(inside) > mostDeep:
			return fmt.Sprintf("is nested more than %d deep", mostDeep), raw
		case keys > mostKeys:
			return fmt.Sprintf("has more than %d keys", mostKeys), raw
		case len(s) > longestStr:
			return fmt.Sprintf("has a text of more than %d bytes", longestStr), raw
		}
	}
}
