package film

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"overhang/internal/tags"
)

// MaxClips is how many clips one list may hold: many times a game.
const MaxClips = 5000

// A List is a clip list that was read.
type List struct {
	Clips   []tags.Clip // without film and identity
	Ignored int         // cues with a text that is not stored, since it is no JSON object of ours
}

// A reading gathers clips and what is wrong with them, by line.
type reading struct {
	list List
	bad  []tags.FieldError
	at   map[[2]float64]int // line of a clip's start and end
}

// maxBad bounds how many mistakes are listed: the first hundred of a file that
// is no clip list at all say enough.
const maxBad = 100

func (r *reading) complain(line int, field, format string, args ...any) {
	if len(r.bad) < maxBad {
		r.bad = append(r.bad, tags.FieldError{Row: line, Field: field, Msg: fmt.Sprintf(format, args...)})
	}
}

// add takes a clip of a line, or says what is wrong with it.
func (r *reading) add(line int, c tags.Clip) {
	if err := c.Validate(); err != nil {
		for _, f := range tags.As(err).Fields {
			r.complain(line, f.Field, "%s", f.Msg)
		}
		return
	}
	key := [2]float64{c.StartS, c.EndS}
	if first, ok := r.at[key]; ok {
		r.complain(line, "start_s", "the same clip is on line %d", first)
		return
	}
	if r.at == nil {
		r.at = map[[2]float64]int{}
	}
	r.at[key] = line
	r.list.Clips = append(r.list.Clips, c)
}

// done returns the list when nothing is wrong with it.
func (r *reading) done() (*List, error) {
	if len(r.list.Clips) > MaxClips {
		r.complain(0, "clips", "%d clips: at most %d in one list", len(r.list.Clips), MaxClips)
	}
	if len(r.bad) == 0 && len(r.list.Clips) == 0 {
		r.complain(0, "clips", "the list holds none")
	}
	if len(r.bad) > 0 {
		return nil, &tags.Error{Kind: tags.Invalid, Msg: "the clip list is not valid; nothing was saved",
			Fields: r.bad}
	}
	return &r.list, nil
}

var clockForm = regexp.MustCompile(`^(?:(\d{1,2}):)?(\d{1,3}):([0-5]\d(?:\.\d{1,9})?)$`)

// seconds reads 75.5, 1:15.5 or 0:01:15.5.
func seconds(s string) (float64, error) {
	if f, err := strconv.ParseFloat(s, 64); err == nil && !math.IsNaN(f) && !math.IsInf(f, 0) {
		return f, nil
	}
	m := clockForm.FindStringSubmatch(s)
	if m == nil {
		return 0, fmt.Errorf("%q is neither seconds nor h:mm:ss", s)
	}
	var h float64
	if m[1] != "" {
		h, _ = strconv.ParseFloat(m[1], 64)
	}
	min, _ := strconv.ParseFloat(m[2], 64)
	sec, _ := strconv.ParseFloat(m[3], 64)
	if m[1] != "" && min > 59 {
		return 0, fmt.Errorf("%q has %s minutes beside its hours", s, m[2])
	}
	return 3600*h + 60*min + sec, nil
}

// snap reads the number of a snap.
func snap(s string) (*int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil {
		return nil, fmt.Errorf("%q is not a whole number", s)
	}
	return &n, nil
}
