package film

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"overhang/internal/tags"
)

// The timestamp and the timings line of W3C WebVTT, section 4.1: hours of two
// digits or more, absent or not; a full stop and three digits; settings after
// the times, which say how a caption looks and mean nothing here.
var (
	timestamp = regexp.MustCompile(`^(?:(\d{2,}):)?([0-5]\d):([0-5]\d)\.(\d{3})$`)
	timings   = regexp.MustCompile(`^(\S+)[ \t]+-->[ \t]+(\S+)(?:[ \t]+.*)?$`)
	endOfLine = regexp.MustCompile(`\r\n|\n|\r`)
)

// A note is the payload of a cue of ours.
type note struct {
	ClipID string     `json:"clip_id,omitempty"`
	Number *int       `json:"number,omitempty"`
	Angle  *string    `json:"angle,omitempty"`
	Play   *tags.Play `json:"play,omitempty"`
}

// ReadVTT reads a clip list from a WebVTT file that keeps the standard's syntax
// (section 4.1, not the forgiving parser of a browser): each cue is a clip. Its
// snap is the cue's identifier, when that is a whole number, or the member
// number of a JSON payload; angle likewise. Tags in a payload are not read back.
// Invalid, with the line of each, when anything is wrong.
func ReadVTT(r io.Reader) (*List, error) {
	raw, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	lines := endOfLine.Split(strings.TrimPrefix(string(raw), "\ufeff"), -1)
	v := vtt{identifiers: map[string]int{}}
	if head := lines[0]; head != "WEBVTT" && !strings.HasPrefix(head, "WEBVTT ") && !strings.HasPrefix(head, "WEBVTT\t") {
		v.complain(1, "header", "the first line is not WEBVTT")
		return v.done()
	}
	if len(lines) > 1 && lines[1] != "" {
		v.complain(2, "header", "an empty line must follow the first")
	}
	for i := 1; i < len(lines); i++ {
		from := i
		for i < len(lines) && lines[i] != "" {
			i++
		}
		if i > from && from > 1 {
			v.block(from+1, lines[from:i])
		}
	}
	return v.done()
}

// A vtt is a WebVTT file being read.
type vtt struct {
	reading
	cues        int
	last        float64        // the start of the cue before
	identifiers map[string]int // line of each
}

// block takes the lines between two empty ones; line is the number of the first.
func (v *vtt) block(line int, ls []string) {
	for i, l := range ls {
		if !utf8.ValidString(l) {
			v.complain(line+i, "row", "is not UTF-8")
			return
		}
	}
	word := strings.TrimRight(strings.SplitN(ls[0]+" ", " ", 2)[0], "\t")
	word, _, _ = strings.Cut(word, "\t")
	times, id := 0, ""
	switch {
	case strings.Contains(ls[0], "-->"):
	case word == "NOTE" || (word == "STYLE" || word == "REGION") && strings.TrimRight(ls[0], " \t") == word:
		v.aside(word, line, ls)
		return
	case len(ls) > 1 && strings.Contains(ls[1], "-->"):
		times, id = 1, ls[0]
	default:
		v.complain(line, "row", "is neither a comment nor a cue: a cue's times (start --> end) are missing")
		return
	}
	v.cue(line+times, id, ls[times], ls[times+1:])
}

// aside passes over a comment, a style or a region.
func (v *vtt) aside(word string, line int, ls []string) {
	if word != "NOTE" && v.cues > 0 {
		v.complain(line, "row", "%s stands behind the first cue", word)
	}
	for i, l := range ls {
		if strings.Contains(l, "-->") {
			v.complain(line+i, "row", "a %s must not hold -->: an empty line is missing before the cue", word)
		}
	}
}

// cue takes a cue whose times stand on a line.
func (v *vtt) cue(line int, id, times string, payload []string) {
	v.cues++
	bad := len(v.bad)
	var c tags.Clip
	if m := timings.FindStringSubmatch(times); m == nil {
		v.complain(line, "row", "%q is not start --> end with a space on both sides of the arrow", times)
	} else {
		c.StartS, c.EndS = v.time(line, "start_s", m[1]), v.time(line, "end_s", m[2])
	}
	if len(v.bad) == bad && c.StartS < v.last {
		v.complain(line, "start_s", "starts before the cue above it")
	}
	for i, l := range payload {
		if strings.Contains(l, "-->") {
			v.complain(line+1+i, "row", "the text of a cue must not hold -->: an empty line is missing before the next cue")
		}
	}
	v.identify(line, id, &c)
	v.payload(line+1, strings.TrimSpace(strings.Join(payload, "\n")), &c)
	if len(v.bad) > bad {
		return
	}
	v.last = c.StartS
	v.add(line, c)
}

func (v *vtt) time(line int, field, s string) float64 {
	m := timestamp.FindStringSubmatch(s)
	if m == nil {
		v.complain(line, field, "%q is not a time like 01:02.500 or 01:00:02.500", s)
		return 0
	}
	part := func(s string) float64 { f, _ := strconv.ParseFloat("0"+s, 64); return f }
	return 3600*part(m[1]) + 60*part(m[2]) + part(m[3]) + part(m[4])/1000
}

// identify takes the snap's number from a cue's identifier, which the standard
// wants to be unique in its file.
func (v *vtt) identify(line int, id string, c *tags.Clip) {
	if id == "" {
		return
	}
	if first, ok := v.identifiers[id]; ok {
		v.complain(line-1, "number", "the identifier %q is on line %d already", id, first)
	}
	v.identifiers[id] = line - 1
	if n, err := snap(id); err == nil {
		c.Number = n
	}
}

// payload reads what a cue of ours says about its clip. Any other text is
// counted as ignored.
func (v *vtt) payload(line int, text string, c *tags.Clip) {
	if text == "" {
		return
	}
	if text[0] != '{' {
		v.list.Ignored++
		return
	}
	var n struct {
		note
		Play json.RawMessage `json:"play"` // tags come in through the API, where they are checked
	}
	if err := json.Unmarshal([]byte(text), &n); err != nil {
		v.complain(line, "row", "the JSON of the cue cannot be read: %v", err)
		return
	}
	if n.Number != nil && c.Number != nil && *n.Number != *c.Number {
		v.complain(line, "number", "is %d in the cue's text and %d in its identifier", *n.Number, *c.Number)
	}
	if n.Number != nil {
		c.Number = n.Number
	}
	c.Angle = n.Angle
}

// A Cue is a clip with the play that is seen on it, nil when none is known.
type Cue struct {
	Clip tags.Clip
	Play *tags.Play
}

// WriteVTT writes a metadata track of clips in the order of their starts: each cue
// has the clip's identity as its identifier and one line of JSON as its text,
// in which no --> and no empty line can stand, since encoding/json escapes the
// sign > and line breaks. Times are rounded to milliseconds, a clip shorter than
// one lasts one: the standard wants the end to be later than the start.
func WriteVTT(w io.Writer, cues []Cue) error {
	if _, err := io.WriteString(w, "WEBVTT\n\n"); err != nil {
		return err
	}
	for i := range cues {
		c := &cues[i].Clip
		text, err := json.Marshal(note{ClipID: c.ID.String(), Number: c.Number, Angle: c.Angle, Play: cues[i].Play})
		if err != nil {
			return err
		}
		start, end := math.Round(1000*c.StartS), math.Round(1000*c.EndS)
		if _, err := fmt.Fprintf(w, "%s\n%s --> %s\n%s\n\n", c.ID, stamp(start), stamp(max(end, start+1)), text); err != nil {
			return err
		}
	}
	return nil
}

// stamp writes milliseconds as the standard's timestamp.
func stamp(ms float64) string {
	n := int64(ms)
	return fmt.Sprintf("%02d:%02d:%02d.%03d", n/3600000, n/60000%60, n/1000%60, n%1000)
}
