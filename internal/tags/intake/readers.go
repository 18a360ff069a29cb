package intake

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// An unread is why a cell cannot be read. A soft one leaves that tag of the play
// empty; any other keeps the row out.
type unread struct {
	msg  string
	soft bool
}

func (u *unread) Error() string { return u.msg }

func hard(format string, args ...any) error { return &unread{msg: fmt.Sprintf(format, args...)} }
func soft(format string, args ...any) error { return &unread{fmt.Sprintf(format, args...), true} }

// unknowns are cells that say that nothing is known.
var unknowns = map[string]bool{"": true, "-": true, "--": true, "?": true, "n/a": true, "na": true, "none known": true,
	"x/x": true, "unknown": true, "tbd": true}

// reading puts a cell's text into a record.
type reading func(r *Record, c *column, text string) error

// readings are the columns that are read by form; words go by tables and the
// vocabulary.
var readings = map[string]reading{
	"number": func(r *Record, _ *column, s string) error {
		return wholeIn(s, 1, 999, "a play number", func(n int) { r.Play.Number = n })
	},
	"quarter":       readQuarter,
	"clock_s":       readClock,
	"down":          func(r *Record, _ *column, s string) error { return readDown(r, s) },
	"distance_yd":   func(r *Record, _ *column, s string) error { return readDistance(r, s) },
	downAndDistance: readDownDistance,
	spot:            readSpot,
	"yards_to_goal": func(r *Record, _ *column, s string) error {
		return wholeIn(s, 1, 99, "yards to the goal line", func(n int) { r.Play.YardsToGoal = &n })
	},
	half:        func(r *Record, _ *column, s string) error { r.half = s; return nil },
	"personnel": readPersonnel,
	"gain_yd":   readGain,
	"touchdown": readTouchdown,
	"rushers": func(r *Record, _ *column, s string) error {
		return wholeIn(s, 0, 11, "rushers", func(n int) { r.Play.Rushers = &n })
	},
	"blitzers": func(r *Record, _ *column, s string) error {
		return wholeIn(s, 0, 11, "blitzers", func(n int) { r.Play.Blitzers = &n })
	},
	"score_margin": func(r *Record, _ *column, s string) error {
		return wholeIn(s, -199, 199, "a score margin", func(n int) { r.Play.ScoreMargin = &n })
	},
	"note":   func(r *Record, _ *column, s string) error { r.Play.Note = &s; return nil },
	opponent: func(r *Record, _ *column, s string) error { r.Opponent = s; return nil },
	versus:   func(r *Record, _ *column, s string) error { r.Game.Versus = &s; return nil },
	season:   func(r *Record, _ *column, s string) error { r.Season = strings.TrimSuffix(s, ".0"); return nil },
	game:     func(r *Record, _ *column, s string) error { r.Game.Label = strings.TrimSuffix(s, ".0"); return nil },
	week:     readWeek,
	date:     readDate,
}

// Columns that a play does not keep as they stand.
const (
	downAndDistance = "<down and distance>"
	spot            = "<spot>"
	half            = "<half>"
	opponent        = "<opponent>"
	versus          = "<versus>"
	season          = "<season>"
	game            = "<game>"
	week            = "<week>"
	date            = "<date>"
	nothing         = "<nothing>"
)

var plainNumber = regexp.MustCompile(`^([+-]?) ?(\d{1,3})(?:[.,]0+)?(?: ?(?:yds?|yards?|y))?\.?$`)

// number reads a whole number as people write it: 7, 7.0, +4, -2, 4 yds, (3) for a loss.
func asNumber(s string) (n int, ok bool) {
	s = strings.ToLower(s)
	if strings.HasPrefix(s, "(") && strings.HasSuffix(s, ")") {
		s = "-" + s[1:len(s)-1]
	}
	m := plainNumber.FindStringSubmatch(s)
	if m == nil {
		return 0, false
	}
	n, err := strconv.Atoi(m[1] + m[2])
	return n, err == nil
}

func wholeIn(s string, lo, hi int, what string, set func(int)) error {
	n, ok := asNumber(s)
	if !ok {
		return hard("%q is no number: write %s as a whole number", s, what)
	}
	if n < lo || n > hi {
		return hard("%d is no %s: it is from %d to %d", n, strings.TrimPrefix(strings.TrimPrefix(what, "a "), "the "), lo, hi)
	}
	set(n)
	return nil
}

func readQuarter(r *Record, _ *column, s string) error {
	switch strings.ToLower(s) {
	case "ot", "overtime":
		s = "5"
	}
	s = strings.TrimLeft(ordinals.Replace(strings.ToLower(s)), "q ")
	return wholeIn(strings.TrimSuffix(strings.TrimSuffix(s, " quarter"), " qtr"), 1, 5, "a quarter",
		func(n int) { r.Play.Quarter = &n })
}

var clockForm = regexp.MustCompile(`^(?:0?(\d{1,2}))?[:.](\d{2})(?:[:.]00)?(?: ?[AP]M)?$`)

func readClock(r *Record, _ *column, s string) error {
	m := clockForm.FindStringSubmatch(strings.ToUpper(s))
	if m == nil {
		return hard("%q is no clock: write 8:41", s)
	}
	min, _ := strconv.Atoi("0" + m[1])
	sec, _ := strconv.Atoi(m[2])
	if sec > 59 || min*60+sec > 900 {
		return hard("%q is no time left in a quarter: at most 15:00, and 59 seconds", s)
	}
	n := min*60 + sec
	r.Play.ClockS = &n
	return nil
}

var ordinals = strings.NewReplacer("1st", "1", "2nd", "2", "3rd", "3", "4th", "4", "first", "1", "second", "2", "third",
	"3", "fourth", "4")

func readDown(r *Record, s string) error {
	w := strings.TrimSuffix(strings.TrimSpace(ordinals.Replace(strings.ToLower(s))), " down")
	if w == "0" {
		r.downZero = true // a kickoff or a try has no down
		return nil
	}
	n, ok := asNumber(w)
	if !ok {
		return hard("%q isn't a down: write 1 to 4, or 1st to 4th", s)
	}
	if n < 1 || n > 4 {
		return hard("%d isn't a down: write 1 to 4", n)
	}
	r.Play.Down = &n
	return nil
}

func readDistance(r *Record, s string) error {
	one := 1
	switch strings.ToLower(s) {
	case "g", "goal", "gl", "to goal", "& goal":
		r.goalToGo = true
		return nil
	case "inches", "in", "inch", "<1", "short":
		r.Play.DistanceYd = &one
		return nil
	}
	n, ok := asNumber(s)
	if !ok {
		return hard("%q is no distance: write the yards to go, or G for goal", s)
	}
	if n < 1 || n > 99 {
		return hard("%d is no distance: it is from 1 to 99 yards", n)
	}
	r.Play.DistanceYd = &n
	return nil
}

var pairForm = regexp.MustCompile(`^(\S+?)(?: down)? ?(?:&|and|/|-|,| ) ?(.+)$`)

func readDownDistance(r *Record, _ *column, s string) error {
	m := pairForm.FindStringSubmatch(strings.ToLower(s))
	if m == nil {
		return hard("%q isn't a down and distance: write 3rd & 7", s)
	}
	if err := readDown(r, m[1]); err != nil {
		return err
	}
	return readDistance(r, m[2])
}

var (
	sidedSpot = regexp.MustCompile(`^(own|our|my|o|opp|opponents?|their|theirs|opposing|d|them|they)\.?'?s? ?-? ` +
		`?(\d{1,2})(?:\.0)?(?: yd(?: line)?)?$`)
	sidedAfter = regexp.MustCompile(`^(\d{1,2}) ?(own|opp)\.?$`)
	ownWords   = map[string]bool{"own": true, "our": true, "my": true, "o": true, "-": true}
	oppWords   = map[string]bool{"opp": true, "opponent": true, "opponents": true, "their": true, "theirs": true,
		"opposing": true, "d": true, "them": true, "they": true, "+": true}
	teamSpot = regexp.MustCompile(`^(\p{L}[\p{L}. ]{0,20}?)\.? ?-?(\d{1,2})$`)
)

// spotOf reads where the ball is, in yards to the goal line attacked: -35 and own
// 35 are the offense's half, +35 and opp 35 the other (common practice, no
// source). bare is what a number without a side means in this column, 0 when
// nothing says.
func spotOf(s, side string, bare int) (int, error) {
	w := strings.ToLower(s)
	switch w {
	case "50", "mid", "midfield", "+50", "-50", "m50", "50.0":
		return 50, nil
	case "gl", "goal", "goal line":
		return 1, nil
	}
	number := ""
	if m := sidedSpot.FindStringSubmatch(w); m != nil {
		side, number = m[1], m[2]
	} else if m := sidedAfter.FindStringSubmatch(w); m != nil {
		side, number = m[2], m[1]
	} else if m := teamSpot.FindStringSubmatch(w); m != nil {
		side, number = m[1], m[2]
	} else if n, ok := asNumber(w); !ok {
		return 0, hard("%q is no place on the field: write -35 or own 35, +35 or opp 35", s)
	} else if number = strings.Trim(strconv.Itoa(n), "-"); strings.HasPrefix(w, "-") {
		side = "-"
	} else if strings.HasPrefix(w, "+") {
		side = "+"
	}
	n, _ := strconv.Atoi(number)
	switch {
	case n < 1 || n > 50:
		return 0, hard("%q is no yard line: they run from 1 to 50 on either side", s)
	case side == "" && bare == 0:
		return 0, soft("%q does not say which half: write -%d or own %d, +%d or opp %d", s, n, n, n, n)
	case side == "" && bare < 0 || ownWords[side]:
		return 100 - n, nil
	case side == "" || oppWords[side]:
		return n, nil
	}
	return 0, &whoseHalf{n, side}
}

// A whoseHalf is a spot whose half goes by a name: a team's, mostly.
type whoseHalf struct {
	line int
	name string
}

func (w *whoseHalf) Error() string {
	return fmt.Sprintf("%q is neither team's name: write -%d or own %d, +%d or opp %d", w.name, w.line, w.line, w.line,
		w.line)
}

// toGoal reads the half by the names of the teams, or the letters each begins with.
func (w *whoseHalf) toGoal(r *Record) (int, error) {
	means := func(name string) bool {
		n, short := letters(name), letters(w.name)
		return len(short) > 1 && (strings.HasPrefix(n, short) || initials(name) == short)
	}
	own, other := means(r.Opponent), r.Game.Versus != nil && means(*r.Game.Versus)
	switch {
	case own && !other:
		return 100 - w.line, nil
	case other && !own:
		return w.line, nil
	}
	return 0, soft("%s", w.Error())
}

func initials(name string) (out string) {
	for _, w := range strings.Fields(name) {
		out += letters(w)[:min(1, len(letters(w)))]
	}
	return out
}

func readSpot(r *Record, c *column, s string) error {
	n, err := spotOf(s, strings.ToLower(r.half), c.bare)
	if w, named := err.(*whoseHalf); named {
		n, err = w.toGoal(r)
	}
	if err == nil {
		r.Play.YardsToGoal = &n
	}
	return err
}

var personnelForm = regexp.MustCompile(`^(\d)\.?(\d)(?:\.0)? ?(?:p|pers|personnel|group(?:ing)?)?\.?$`)

func readPersonnel(r *Record, _ *column, s string) error {
	m := personnelForm.FindStringSubmatch(strings.ToLower(s))
	if m == nil {
		return soft("%q is no personnel: write backs, then tight ends, as 11", s)
	}
	if int(m[1][0]-'0')+int(m[2][0]-'0') > 5 {
		return hard("%q is no personnel: more than five backs and tight ends", s)
	}
	v := m[1] + m[2]
	r.Play.Personnel = &v
	return nil
}

var lossForm = regexp.MustCompile(`^(?:loss of|lost|loss|l) ?(\d+)(?: ?yds?| yards?)?$`)

// readGain takes what came of the play beside the yards, or for them: "inc", "7 TD".
func readGain(r *Record, _ *column, s string) error {
	w := strings.ToLower(s)
	if w == "no gain" || w == "ng" || w == "even" {
		w = "0"
	}
	if m := lossForm.FindStringSubmatch(w); m != nil {
		w = "-" + m[1]
	}
	if m := gainForm.FindStringSubmatch(w); m != nil {
		if came, ok := tables["result"][letters(m[2])]; ok {
			r.came(came)
			if w = m[1]; w == "" {
				return nil
			}
		}
	}
	w = strings.TrimPrefix(strings.TrimPrefix(w, "gain of "), "gain ")
	return wholeIn(w, -99, 99, "a gain", func(n int) { r.Play.GainYd = &n })
}

// A gain with a word behind it, or the word alone.
var gainForm = regexp.MustCompile(`^([+-]?\d{1,3})? ?(?:yds?\.?|yards?)?[ ,/]*(\pL[\pL /]*)$`)

// came puts what a word of the result's table says into a play. Nothing is gained by a pass
// that is not caught; other words leave the yards open.
func (r *Record) came(m meaning) {
	p := &r.Play
	zero := 0
	for _, t := range m {
		switch {
		case t.field == "touchdown":
			p.Touchdown = true
		case t.field == "result" && p.Result == nil:
			setters[t.field](p, t.value)
		}
		if t.field == "result" && t.value == "incomplete" {
			p.GainYd = &zero
		}
	}
}

func readTouchdown(r *Record, _ *column, s string) error {
	switch strings.ToLower(s) {
	case "y", "yes", "1", "x", "td", "true", "touchdown":
		r.Play.Touchdown = true
	case "n", "no", "0", "false":
	default:
		return soft("%q is neither yes nor no", s)
	}
	return nil
}

func readWeek(r *Record, _ *column, s string) error {
	w := strings.TrimSpace(strings.TrimPrefix(strings.TrimPrefix(strings.ToLower(s), "week"), "wk"))
	if n, ok := asNumber(w); ok && n >= 0 && n <= 60 {
		r.Game.Week = &n
		return nil
	}
	return soft("%q is no week: write its number", s)
}

// dateForms are dates as they are written; month first, as in America, where
// numbers alone stand (common practice, no source).
var dateForms = []string{"2006-1-2", "2006/1/2", "1/2/2006", "1/2/06", "1-2-2006", "1-2-06", "Jan 2, 2006",
	"Jan 2 2006", "January 2, 2006",
	"January 2 2006", "2 Jan 2006", "2 January 2006", "2-Jan-06", "2-Jan-2006", "2.1.2006", "2.1.06", "Mon, Jan 2, 2006",
	"Monday, January 2, 2006", "2006-1-2 15:04:05", "2006-01-02T15:04:05Z"}

func dateOf(s string) (time.Time, bool) {
	w := strings.NewReplacer("Sept ", "Sep ", "sept ", "Sep ", "Sep. ", "Sep ", "Aug. ", "Aug ", "Oct. ", "Oct ", "Nov. ",
		"Nov ", "Dec. ", "Dec ", "th,", ",", "st,", ",", "nd,", ",", "rd,", ",").Replace(s)
	for _, form := range dateForms {
		if t, err := time.Parse(form, w); err == nil {
			return t, true
		}
	}
	return time.Time{}, false
}

func readDate(r *Record, c *column, s string) error {
	t, ok := dateOf(s)
	if n, err := strconv.ParseFloat(c.kept, 64); err == nil && c.kept != "" && n > 20000 && n < 80000 {
		t, ok = time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(n)), true // days as workbooks count them
	}
	if !ok {
		return hard("%q is no date: write 9/12/2026 or 2026-09-12", s)
	}
	r.day = t
	return nil
}
