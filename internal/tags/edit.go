package tags

import (
	"fmt"
	"time"

	"github.com/google/uuid"
)

// MostEdited: at most this many plays are edited at once.
const MostEdited = 500

// A PlayEdit sets some fields of several plays. Looked at first: Apply false
// changes nothing and answers what it would.
type PlayEdit struct {
	Where map[string]string `json:"where"` // filters of the list of plays; to look only
	Plays []PlaySeen        `json:"plays"` // the versions that were looked at
	Set   Patch             `json:"set"`
	Apply bool              `json:"apply"`
}

// A PlaySeen is a version of a play that somebody looked at.
type PlaySeen struct {
	ID      uuid.UUID `json:"id"`
	Version int64     `json:"version"`
}

// Edited is what an edit changes, or would, in one play.
type Edited struct {
	PlaySeen
	Number  int                   `json:"number"`
	GameID  uuid.UUID             `json:"game_id"`
	Changes map[string]Difference `json:"changes"`
}

// An EditResult is what an edit did, or would do.
type EditResult struct {
	Applied   bool       `json:"applied"`
	ChangeID  *uuid.UUID `json:"change_id,omitempty"` // to undo it by
	Items     []Edited   `json:"items"`               // by game and number
	Unchanged int        `json:"unchanged"`           // plays that have it so already
}

// Validate checks which plays are meant; the patch is checked with each play.
func (e *PlayEdit) Validate() error {
	var c check
	switch {
	case len(e.Plays) == 0 && len(e.Where) == 0:
		c.add("plays", "is missing: name the plays, or filters under where")
	case len(e.Plays) > 0 && len(e.Where) > 0:
		c.add("where", "does not go with plays: one of the two says which are meant")
	case e.Apply && len(e.Plays) == 0:
		c.add("plays", "is missing: apply changes what was looked at, by identity and version")
	case len(e.Plays) > MostEdited:
		c.add("plays", "%d plays: at most %d at once", len(e.Plays), MostEdited)
	}
	seen := map[uuid.UUID]bool{}
	for i, p := range e.Plays {
		if seen[p.ID] {
			c.add(fmt.Sprintf("plays[%d].id", i), "is there twice")
		}
		seen[p.ID] = true
	}
	return invalid("the edit", c.fs)
}

// A Merge says that two words are one.
type Merge struct {
	ID       uuid.UUID  `json:"change_id" db:"id"` // to undo it by
	At       time.Time  `json:"at" db:"at"`
	Who      *string    `json:"who,omitempty" db:"who"`
	Field    string     `json:"field" db:"field"`
	Word     string     `json:"word" db:"word"`       // now an alias
	Into     string     `json:"into" db:"into_word"`  // the word that stays
	Aliases  []string   `json:"aliases" db:"aliases"` // that moved along
	Plays    int        `json:"plays" db:"plays"`     // that follow
	UndoneAt *time.Time `json:"undone_at,omitempty" db:"undone_at"`
}

// Split gives a play the word back that a merge took, wherever it had that word
// before and still has the other; what was tagged since stays. It says whether
// anything came back.
func (m *Merge) Split(now, before *Play) (back bool) {
	was := before.words()
	for i, x := range now.words() {
		if w := was[i]; x.field == m.Field && *w.word != nil && **w.word == m.Word && *x.word != nil && **x.word == m.Into {
			*x.word, back = &m.Word, true
		}
	}
	if m.Field != "route" {
		return back
	}
	had := map[string]bool{}
	key := func(r *Route) string { return fmt.Sprint(r.Side, r.Number) }
	for i := range before.Routes {
		had[key(&before.Routes[i])] = before.Routes[i].Route == m.Word
	}
	for i := range now.Routes {
		if r := &now.Routes[i]; r.Route == m.Into && had[key(r)] {
			r.Route, back = m.Word, true
		}
	}
	return back
}
