package archive

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/google/uuid"
)

// A cell of a file is empty where nothing is known. A text that is empty, that a
// spreadsheet might run as a formula, that begins with an apostrophe or holds a line
// break stands as an apostrophe and the text as a JSON string; every other text as
// it is. So every row is one line, and nothing is lost. JSON stands as itself.

// write returns the cell of a value; nil is unknown.
func write(kind string, v []byte) string {
	if v == nil {
		return ""
	}
	if s := string(v); kind != "string" || !guarded(s) {
		return s
	}
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.Encode(string(v)) // a string can always be written
	return "'" + strings.TrimSuffix(b.String(), "\n")
}

func guarded(s string) bool {
	return s == "" || strings.ContainsRune("=+-@\t'", rune(s[0])) || strings.ContainsAny(s, "\r\n")
}

// read is write back: the JSON of a cell's value, null where nothing is known. Any
// other way of writing the same text is refused, so that an import loses nothing.
func read(kind, cell string) (json.RawMessage, error) {
	if cell == "" {
		return json.RawMessage("null"), nil
	}
	if !utf8.ValidString(cell) {
		return nil, fmt.Errorf("is not UTF-8")
	}
	wrong := fmt.Errorf("%q is no %s", short(cell), kind)
	switch kind {
	case "string":
		s := cell
		if quoted, ok := strings.CutPrefix(cell, "'"); ok {
			if json.Unmarshal([]byte(quoted), &s) != nil {
				return nil, fmt.Errorf("%q begins with an apostrophe and is no JSON string behind it", short(cell))
			}
		}
		if write(kind, []byte(s)) != cell {
			return nil, fmt.Errorf("%q is not written as README.txt says", short(cell))
		}
		return json.Marshal(s)
	case "integer":
		if _, err := strconv.ParseInt(cell, 10, 64); err != nil || !json.Valid([]byte(cell)) {
			return nil, wrong
		}
	case "number":
		if _, err := strconv.ParseFloat(cell, 64); err != nil || !json.Valid([]byte(cell)) {
			return nil, wrong
		}
	case "boolean":
		if cell != "true" && cell != "false" {
			return nil, wrong
		}
	case "datetime":
		if _, err := time.Parse(time.RFC3339Nano, cell); err != nil {
			return nil, wrong
		}
		return json.Marshal(cell)
	case "uuid":
		if _, err := uuid.Parse(cell); err != nil || len(cell) != 36 {
			return nil, wrong
		}
		return json.Marshal(cell)
	case "object", "array":
		if want := map[string]byte{"object": '{', "array": '['}[kind]; cell[0] != want || !json.Valid([]byte(cell)) {
			return nil, fmt.Errorf("%q is no JSON %s", short(cell), kind)
		}
	default:
		return nil, fmt.Errorf("is %s, which cannot be read", kind)
	}
	return json.RawMessage(cell), nil
}

// short keeps a complaint readable.
func short(s string) string {
	if len(s) > 60 {
		return s[:60] + "..."
	}
	return s
}
