package tags

import (
	"encoding/json"
	"fmt"
	"strconv"
	"time"

	"github.com/google/uuid"
)

// Meta is what every stored thing has.
type Meta struct {
	ID        uuid.UUID `json:"id" db:"id"`
	Version   int64     `json:"version" db:"version"` // grows by one with every change; the ETag
	UpdatedAt time.Time `json:"updated_at" db:"updated_at"`
}

// Identity gives generic code access to the Meta of any noun.
func (m *Meta) Identity() *Meta { return m }

// Tag is the version as an entity tag of RFC 9110.
func (m Meta) Tag() string { return fmt.Sprintf("%q", strconv.FormatInt(m.Version, 10)) }

// A Program is one staff: everything below belongs to exactly one.
type Program struct {
	Meta
	Code     string   `json:"code" db:"code"`
	Name     string   `json:"name" db:"name"`
	Level    string   `json:"level" db:"level"`       // high_school, college, professional
	Invented bool     `json:"invented" db:"invented"` // demo data, shown as such everywhere
	Settings Settings `json:"settings" db:"settings"`
}

// A Season groups games.
type Season struct {
	Meta
	Label string `json:"label" db:"label"`
}

// An Opponent is a staff we prepare for, by a code of our own choosing.
type Opponent struct {
	Meta
	Code string  `json:"code" db:"code"`
	Name string  `json:"name" db:"name"`
	Note *string `json:"note,omitempty" db:"note"`
}

// A Game is one game of an opponent. In our own game the defense on the film is
// the program's own: the coverage of a play is the call it made.
type Game struct {
	Meta
	OpponentID uuid.UUID  `json:"opponent_id" db:"opponent_id"`
	SeasonID   *uuid.UUID `json:"season_id,omitempty" db:"season_id"`
	Label      string     `json:"label" db:"label"`
	Week       *int       `json:"week,omitempty" db:"week"`
	Versus     *string    `json:"versus,omitempty" db:"versus"`
	Ours       bool       `json:"ours" db:"ours"`
}

// A Film is a recording of a game; the file stays where it is.
type Film struct {
	Meta
	GameID   uuid.UUID `json:"game_id" db:"game_id"`
	Location string    `json:"location" db:"location"` // a local path or a URL; never fetched
	Angle    *string   `json:"angle,omitempty" db:"angle"`
}

// A Clip is a stretch of film. It shows the play it names; without one, the
// play of its number in the film's game, once that is tagged. Clips of one game
// with the same play or number are angles of the same snap, be they on one film
// or on several.
type Clip struct {
	Meta
	FilmID uuid.UUID  `json:"film_id" db:"film_id"`
	PlayID *uuid.UUID `json:"play_id,omitempty" db:"play_id"`
	Number *int       `json:"number,omitempty" db:"number"` // of the snap in the game
	Angle  *string    `json:"angle,omitempty" db:"angle"`   // absent: the film's
	StartS float64    `json:"start_s" db:"start_s"`
	EndS   float64    `json:"end_s" db:"end_s"`
}

// A Word is one word of a program's vocabulary; an alias counts as the word it
// stands for.
type Word struct {
	Meta
	Field   string  `json:"field" db:"field"` // set_name, backfield, motion, concept, route, coverage
	Word    string  `json:"word" db:"word"`
	AliasOf *string `json:"alias_of,omitempty" db:"alias_of"`
	Pending bool    `json:"pending" db:"pending"` // met in a play, not yet looked at by the vocabulary's owner
	Folded  string  `json:"-" db:"folded"`        // small letters, single blanks: how it is found; filled in by the store
}

// A Call is one of the program's own defensive calls; the body is the stress
// engine's JSON form.
type Call struct {
	Meta
	Name   string          `json:"name" db:"name"`
	Active bool            `json:"active" db:"active"`
	Body   json.RawMessage `json:"body" db:"body"`
	// NotTried names, where the call was just stored, the men whose rules hang on too much for
	// all of it to be tried.
	NotTried []string `json:"not_tried,omitempty" db:"-"`
}

// A Play is one snap of the opponent's offense.
type Play struct {
	Meta
	GameID      uuid.UUID `json:"game_id" db:"game_id"`
	OpponentID  uuid.UUID `json:"opponent_id" db:"opponent_id"` // the game's; filled in by the store
	Number      int       `json:"number" db:"number"`           // order in the game
	Status      string    `json:"status" db:"status"`           // counted, no_play, kneel, spike
	Quarter     *int      `json:"quarter,omitempty" db:"quarter"`
	ClockS      *int      `json:"clock_s,omitempty" db:"clock_s"`
	Down        *int      `json:"down,omitempty" db:"down"`
	DistanceYd  *int      `json:"distance_yd,omitempty" db:"distance_yd"`
	YardsToGoal *int      `json:"yards_to_goal,omitempty" db:"yards_to_goal"`
	Hash        *string   `json:"hash,omitempty" db:"hash"` // left, middle, right, as the offense sees it
	ScoreMargin *int      `json:"score_margin,omitempty" db:"score_margin"`
	Personnel   *string   `json:"personnel,omitempty" db:"personnel"` // backs, then tight ends: "11"
	SetName     *string   `json:"set_name,omitempty" db:"set_name"`
	Strength    *string   `json:"strength,omitempty" db:"strength"` // left, right, balanced
	Backfield   *string   `json:"backfield,omitempty" db:"backfield"`
	Motion      *string   `json:"motion,omitempty" db:"motion"` // "none": charted, and there was none
	Called      *string   `json:"called,omitempty" db:"called"` // run or pass; a sack or scramble was called a pass
	Family      *string   `json:"family,omitempty" db:"family"`
	PlayFake    *bool     `json:"play_fake,omitempty" db:"play_fake"`   // a run was faked
	RunOption   *bool     `json:"run_option,omitempty" db:"run_option"` // the passer could have handed off
	Concept     *string   `json:"concept,omitempty" db:"concept"`
	PlaySide    *string   `json:"play_side,omitempty" db:"play_side"`           // left, right
	TargetRoute *string   `json:"target_route,omitempty" db:"target_route"`     // where routes are not charted
	ThrowDepth  *int      `json:"throw_depth_yd,omitempty" db:"throw_depth_yd"` // past the line of scrimmage
	ThrowS      *float64  `json:"throw_s,omitempty" db:"throw_s"`               // from the snap to the throw
	Pressured   *bool     `json:"pressured,omitempty" db:"pressured"`
	Result      *string   `json:"result,omitempty" db:"result"`
	GainYd      *int      `json:"gain_yd,omitempty" db:"gain_yd"`
	Touchdown   bool      `json:"touchdown" db:"touchdown"`
	Shell       *string   `json:"shell,omitempty" db:"shell"`
	Coverage    *string   `json:"coverage,omitempty" db:"coverage"`
	CoverageOf  *string   `json:"coverage_kind,omitempty" db:"coverage_kind"` // man, zone
	Rushers     *int      `json:"rushers,omitempty" db:"rushers"`
	Blitzers    *int      `json:"blitzers,omitempty" db:"blitzers"`
	// what lay between the play before and this one: penalty, review, possession, kick, half
	SinceLast *string `json:"since_last,omitempty" db:"since_last"`
	Note      *string `json:"note,omitempty" db:"note"`
	Routes    []Route `json:"routes" db:"routes"`
	// RoutesAssumed: nobody saw these routes, they are what the concept usually is.
	RoutesAssumed bool `json:"routes_assumed,omitempty" db:"routes_assumed"`
}

// AssumedSide is the side that assumed routes are run to: the play's, else the
// strong one, else the right, which says nothing of what they do.
func AssumedSide(p *Play) string {
	for _, s := range []*string{p.PlaySide, p.Strength} {
		if s != nil && *s != "balanced" {
			return *s
		}
	}
	return "right"
}

// A usedWord is where a play keeps a word of a field of the vocabulary.
type usedWord struct {
	field, at string
	word      **string
}

// words lists where the play keeps its words, without those of its routes.
func (p *Play) words() []usedWord {
	return []usedWord{{"set_name", "set_name", &p.SetName}, {"backfield", "backfield", &p.Backfield},
		{"motion", "motion", &p.Motion},
		{"concept", "concept", &p.Concept}, {"coverage", "coverage", &p.Coverage}, {"route", "target_route", &p.TargetRoute}}
}

// Vocabulary returns the words the play uses, folded, each beside its field.
func (p *Play) Vocabulary() (fields, folded []string) {
	add := func(field, w string) { fields, folded = append(fields, field), append(folded, Fold(w)) }
	for _, x := range p.words() {
		if *x.word != nil {
			add(x.field, **x.word)
		}
	}
	for i := range p.Routes {
		add("route", p.Routes[i].Route)
	}
	return fields, folded
}

// A Route is what one eligible did on a play.
type Route struct {
	Side           string   `json:"side"`     // left, right, as the offense sees it
	Number         int      `json:"number"`   // from the sideline in, at the snap; backs count last
	Eligible       string   `json:"eligible"` // receiver, tight_end, back
	Route          string   `json:"route"`
	BreakDepthYd   *float64 `json:"break_depth_yd,omitempty"`
	BreakDirection *string  `json:"break_direction,omitempty"` // in, out, up, back, none
	Targeted       bool     `json:"targeted"`
}
