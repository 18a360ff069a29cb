package tags

import (
	"time"

	"github.com/google/uuid"
)

// A Deletion is what was deleted at once, and can be restored until it is purged.
type Deletion struct {
	ID   uuid.UUID      `json:"id" db:"id"` // also of the change in the history of its plays
	At   time.Time      `json:"at" db:"at"`
	Who  *string        `json:"who,omitempty" db:"who"`
	Kind string         `json:"kind" db:"kind"` // plays, games, ...: of what was deleted itself
	What string         `json:"what" db:"what"` // its name, for people
	Rows map[string]int `json:"rows" db:"rows"` // by kind, what hung on it among them
}
