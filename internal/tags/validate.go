package tags

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"net/url"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/google/uuid"
)

// Words with a fixed meaning, by field. The program's own words are in its vocabulary.
var fixed = map[string][]string{
	"level":           {"high_school", "college", "professional"},
	"status":          {"counted", "no_play", "kneel", "spike"},
	"hash":            {"left", "middle", "right"},
	"strength":        {"left", "right", "balanced"},
	"called":          {"run", "pass"},
	"family":          {"run", "dropback", "quick", "play_action", "boot", "screen", "rpo", "draw"},
	"play_side":       {"left", "right"},
	"result":          {"rush", "scramble", "complete", "incomplete", "intercepted", "sack", "fumble_lost", "penalty"},
	"shell":           {"no_high", "one_high", "two_high", "other"},
	"coverage_kind":   {"man", "zone"},
	"since_last":      {"penalty", "review", "possession", "kick", "half"},
	"new_words":       {"", "refuse", "queue"},
	"pace":            {"slower", "quicker"},
	"side":            {"left", "right"},
	"eligible":        {"receiver", "tight_end", "back"},
	"break_direction": {"in", "out", "up", "back", "none"},
	"vocabulary":      {"set_name", "backfield", "motion", "concept", "route", "coverage"},
}

// Allowed returns the fixed words of a field, nil when it has none.
func Allowed(field string) []string { return fixed[field] }

var (
	codeForm      = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,39}$`)
	personnelForm = regexp.MustCompile(`^[0-5][0-5]$`)
)

// eligibles of an offense beside the passer: eleven without him and five linemen.
const eligibles = 5

// check gathers what is wrong with one thing.
type check struct{ fs []FieldError }

func (c *check) add(field, format string, args ...any) {
	c.fs = append(c.fs, FieldError{Field: field, Msg: fmt.Sprintf(format, args...)})
}

func (c *check) between(field string, v *int, lo, hi int) {
	if v != nil && (*v < lo || *v > hi) {
		c.add(field, "%d is not from %d to %d", *v, lo, hi)
	}
}

func (c *check) word(field string, v *string) {
	if v != nil && !slices.Contains(fixed[field], *v) {
		c.add(field, "%q is not one of %s", *v, strings.Join(fixed[field], ", "))
	}
}

func (c *check) text(field, v string, most int) {
	if !Storable(v) {
		c.add(field, "holds a NUL character or is not UTF-8")
	} else if strings.TrimSpace(v) == "" {
		c.add(field, "is missing")
	} else if utf8.RuneCountInString(v) > most {
		c.add(field, "is longer than %d characters", most)
	}
}

// line is a text of one line: a name that a link, a sheet's head or the name of a file can show.
func (c *check) line(field, v string, most int) {
	before := len(c.fs)
	if c.text(field, v, most); len(c.fs) > before {
		return
	}
	if why := NoLine(v); why != "" {
		c.add(field, "%s", why)
	}
}

// NoLine says why a text is not one line that can be read, "" where it is.
func NoLine(v string) string {
	switch {
	case strings.TrimSpace(v) == "":
		return "is missing"
	case !strings.ContainsFunc(v, shows):
		return "shows nothing"
	case strings.ContainsFunc(v, unicode.IsControl):
		return "has a line break or another control character"
	}
	return ""
}

// shows says that a reader sees something of a character: a name of none leaves a link nobody can follow.
func shows(r rune) bool {
	return unicode.IsGraphic(r) && !unicode.IsSpace(r) && r != '\u2800' && // the blank of Braille
		!unicode.In(r, unicode.Other_Default_Ignorable_Code_Point, unicode.Variation_Selector)
}

// Storable says that PostgreSQL can keep a text: UTF-8 without NUL.
func Storable(s string) bool { return utf8.ValidString(s) && !strings.ContainsRune(s, 0) }

func (c *check) optional(field string, v *string, most int) {
	if v != nil {
		c.text(field, *v, most)
	}
}

func (c *check) optionalLine(field string, v *string, most int) {
	if v != nil {
		c.line(field, *v, most)
	}
}

// Validate returns every bad field of a program at once.
func (p *Program) Validate() error {
	var c check
	if !codeForm.MatchString(p.Code) {
		c.add("code", "%q is not 1 to 40 small letters, digits or hyphens", p.Code)
	}
	c.line("name", p.Name, 200)
	if p.Level == "" {
		p.Level = "high_school" // where most staffs coach
	}
	c.word("level", &p.Level)
	p.Settings.check(&c)
	return invalid("the program", c.fs)
}

// check adds what is wrong with a program's settings.
func (s *Settings) check(c *check) {
	for _, percent := range s.SuccessPercent {
		if percent < 1 || percent > 100 {
			c.add("settings.success_percent", "%d is not from 1 to 100", percent)
		}
	}
	c.between("settings.explosive_run_yd", &s.ExplosiveRunYd, 1, 99)
	c.between("settings.explosive_pass_yd", &s.ExplosivePassYd, 1, 99)
	if !slices.Contains(fixed["new_words"], s.NewWords) {
		c.add("settings.new_words", "%q is not refuse or queue", s.NewWords)
	}
	c.bands("settings.distance_bands", s.DistanceBands)
	c.bands("settings.field_zones", s.FieldZones)
	c.positions("settings.position_names", s.PositionNames)
	c.men("settings.our_men", s.OurMen)
	c.zone("settings.time_zone", s.TimeZone)
	c.orNone("settings.field_goal_yd", s.FieldGoalYd, 18, 70)
	c.orNone("settings.punt_net_yd", s.PuntNetYd, 10, 60)
}

// orNone checks a number that is within a range, or 0 where nobody says it.
func (c *check) orNone(field string, n, from, to int) {
	if n != 0 && (n < from || n > to) {
		c.add(field, "%d is not from %d to %d; leave it out if you don't know", n, from, to)
	}
}

// bands checks cut points: named once each, upright, on the field, and no yard in
// two of them. A yard in none is allowed: it is unknown to that dimension.
func (c *check) bands(field string, bs []Band) {
	if len(bs) == 0 {
		c.add(field, "is missing: name at least one")
	}
	if len(bs) > 20 {
		c.add(field, "%d of them: at most 20", len(bs))
	}
	for i, b := range bs {
		at := fmt.Sprintf("%s[%d]", field, i)
		c.line(at+".name", b.Name, 40)
		if b.From < 1 || b.To > 99 || b.From > b.To {
			c.add(at, "%d to %d is not a range within 1 to 99", b.From, b.To)
		}
		for _, o := range bs[:i] {
			if o.Name == b.Name {
				c.add(at+".name", "%q is there twice", b.Name)
			}
			if b.From <= o.To && o.From <= b.To {
				c.add(at, "%d to %d overlaps %q", b.From, b.To, o.Name)
			}
		}
	}
}

// Validate checks a season.
func (s *Season) Validate() error {
	var c check
	c.line("label", s.Label, 60)
	return invalid("the season", c.fs)
}

// Validate checks an opponent.
func (o *Opponent) Validate() error {
	var c check
	if c.line("code", o.Code, 40); uuid.Validate(o.Code) == nil {
		c.add("code", "reads as an identity: addresses take it for one")
	}
	c.line("name", o.Name, 200)
	c.optional("note", o.Note, 4000)
	return invalid("the opponent", c.fs)
}

// Validate checks a game.
func (g *Game) Validate() error {
	var c check
	c.line("label", g.Label, 120)
	c.between("week", g.Week, 0, 60)
	c.optionalLine("versus", g.Versus, 120)
	return invalid("the game", c.fs)
}

// Validate checks a film: a path, or a URL with a host.
func (f *Film) Validate() error {
	var c check
	if c.line("location", f.Location, 2000); len(f.Location) > 2000 {
		c.add("location", "is longer than 2000 bytes") // more is too long a key for the database's index
	}
	if strings.Contains(f.Location, "://") {
		if u, err := url.Parse(f.Location); err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" {
			c.add("location", "is neither a file path nor an http or https address")
		}
	}
	c.optionalLine("angle", f.Angle, 60)
	return invalid("the film", c.fs)
}

// Validate checks a clip.
func (cl *Clip) Validate() error {
	var c check
	if cl.StartS < 0 || math.IsNaN(cl.StartS) || cl.StartS > 86400 {
		c.add("start_s", "%v is not from 0 to 86400 seconds", cl.StartS)
	}
	if !(cl.EndS > cl.StartS) || cl.EndS > 86400 {
		c.add("end_s", "%v is not after start_s (%v) and within a day", cl.EndS, cl.StartS)
	}
	c.between("number", cl.Number, 1, 999)
	c.optionalLine("angle", cl.Angle, 60)
	return invalid("the clip", c.fs)
}

// Validate checks a word of the vocabulary.
func (w *Word) Validate() error {
	var c check
	if !slices.Contains(fixed["vocabulary"], w.Field) {
		c.add("field", "%q is not one of %s", w.Field, strings.Join(fixed["vocabulary"], ", "))
	}
	c.line("word", strings.Join(strings.Fields(w.Word), " "), 80)
	c.optional("alias_of", w.AliasOf, 80)
	if w.AliasOf != nil && *w.AliasOf == w.Word {
		c.add("alias_of", "is the word itself")
	}
	return invalid("the word", c.fs)
}

// Validate checks what a call has outside its body; the engine checks the body.
func (c *Call) Validate() error {
	var k check
	k.line("name", c.Name, 200)
	if len(c.Body) == 0 {
		k.add("body", "is missing")
	} else if !json.Valid(c.Body) || !storableJSON(c.Body) {
		k.add("body", "is not JSON, or holds a NUL character or what is not UTF-8")
	}
	return invalid("the call", k.fs)
}

// storableJSON looks for NUL characters behind the escapes of a valid document.
func storableJSON(raw json.RawMessage) bool {
	dec := json.NewDecoder(bytes.NewReader(raw))
	for {
		t, err := dec.Token()
		if s, ok := t.(string); ok && !Storable(s) {
			return false
		}
		if err != nil {
			return err == io.EOF && utf8.Valid(raw)
		}
	}
}

// fixedTags are the tags of a play that hold a word of a fixed meaning or nothing, with their places in it.
var fixedTags = func() map[string]int {
	out, play := map[string]int{}, reflect.TypeFor[Play]()
	for i := range play.NumField() {
		f := play.Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if fixed[name] != nil && f.Type.Kind() == reflect.Pointer {
			out[name] = i
		}
	}
	return out
}()

// Validate returns every bad field of a play at once. Words of the program's
// vocabulary are checked by the store, which has it.
func (p *Play) Validate() error {
	var c check
	if p.Number < 1 || p.Number > 999 {
		c.add("number", "%d is not from 1 to 999", p.Number)
	}
	c.word("status", &p.Status)
	c.between("quarter", p.Quarter, 1, 5)
	c.between("clock_s", p.ClockS, 0, 900)
	c.between("down", p.Down, 1, 4)
	c.between("distance_yd", p.DistanceYd, 1, 99)
	c.between("yards_to_goal", p.YardsToGoal, 1, 99)
	c.between("score_margin", p.ScoreMargin, -199, 199)
	c.between("gain_yd", p.GainYd, -99, 99)
	c.between("throw_depth_yd", p.ThrowDepth, -40, 99)
	if s := p.ThrowS; s != nil && !(*s >= 0 && *s <= 30) {
		c.add("throw_s", "%v is not from 0 to 30 seconds", *s)
	}
	c.between("rushers", p.Rushers, 0, 11)
	c.between("blitzers", p.Blitzers, 0, 11)
	if p.Personnel != nil && !personnelForm.MatchString(*p.Personnel) {
		c.add("personnel", "%q is not two digits: backs, then tight ends", *p.Personnel)
	} else if p.Personnel != nil && int((*p.Personnel)[0]-'0')+int((*p.Personnel)[1]-'0') > eligibles {
		c.add("personnel", "%q has more than %d backs and tight ends", *p.Personnel, eligibles)
	}
	for field, at := range fixedTags {
		c.word(field, reflect.ValueOf(p).Elem().Field(at).Interface().(*string))
	}
	if p.Family != nil && p.Called != nil && (*p.Family == "run" && *p.Called == "pass" || *p.Family == "dropback" &&
		*p.Called == "run") {
		c.add("family", "%q does not go with called %q", *p.Family, *p.Called)
	}
	for _, x := range p.words() {
		c.optional(x.at, *x.word, 80)
	}
	c.optional("note", p.Note, 4000)
	c.routes(p.Routes)
	slices.SortFunc(c.fs, func(a, b FieldError) int { return strings.Compare(a.Field, b.Field) })
	return invalid("the play", c.fs)
}

func (c *check) routes(rs []Route) {
	if len(rs) > eligibles {
		c.add("routes", "%d routes: an offense has five eligibles", len(rs))
	}
	seen := map[string]bool{}
	targets := 0
	for i := range rs {
		r, at := &rs[i], fmt.Sprintf("routes[%d].", i)
		for _, f := range []struct {
			name string
			v    *string
		}{{"side", &r.Side}, {"eligible", &r.Eligible}, {"break_direction", r.BreakDirection}} {
			if f.v != nil && !slices.Contains(fixed[f.name], *f.v) {
				c.add(at+f.name, "%q is not one of %s", *f.v, strings.Join(fixed[f.name], ", "))
			}
		}
		if r.Number < 1 || r.Number > 5 {
			c.add(at+"number", "%d is not from 1 to 5", r.Number)
		}
		if d := r.BreakDepthYd; d != nil && !(*d >= -15 && *d <= 60) {
			c.add(at+"break_depth_yd", "%v is not from -15 to 60", *d)
		}
		c.text(at+"route", r.Route, 80)
		key := r.Side + fmt.Sprint(r.Number)
		if seen[key] {
			c.add(at+"number", "#%d on the %s is there twice", r.Number, r.Side)
		}
		seen[key] = true
		if r.Targeted {
			targets++
		}
	}
	if targets > 1 {
		c.add("routes", "%d receivers are targeted: at most one can be", targets)
	}
}
