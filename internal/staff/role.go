// Package staff says who is who: roles, secrets, passwords. It keeps nothing;
// the store does.
package staff

import (
	"slices"
	"time"

	"github.com/google/uuid"
)

// A Role is what somebody may do in a program; each may do what the ones before
// it may.
type Role string

const (
	Reader      Role = "reader"      // read everything, ask everything
	Analyst     Role = "analyst"     // and tag
	Coordinator Role = "coordinator" // and say what we call, and in what words
	Owner       Role = "owner"       // and let people in and out
)

// Roles lists them, least first.
var Roles = []Role{Reader, Analyst, Coordinator, Owner}

// Reaches says that a role may do what need asks for. An unknown role reaches
// nothing, and nothing reaches an unknown need.
func (r Role) Reaches(need Role) bool {
	least := slices.Index(Roles, need)
	return least >= 0 && slices.Index(Roles, r) >= least
}

// A Person is somebody who can sign in.
type Person struct {
	ID    uuid.UUID `db:"id" json:"id"`
	Login string    `db:"login" json:"login"` // lower case
	Name  string    `db:"name" json:"name"`
}

// A Member is a person of a program.
type Member struct {
	Person
	Role Role `db:"role" json:"role"`
}

// A Token lets a script in as its owner, with a role of its own at most as high.
// The secret is shown once, when it is made, and kept as a hash.
type Token struct {
	ID        uuid.UUID  `db:"id" json:"id"`
	Person    uuid.UUID  `db:"person_id" json:"person_id"`
	Label     string     `db:"label" json:"label"`
	Role      Role       `db:"role" json:"role"`
	ExpiresAt time.Time  `db:"expires_at" json:"expires_at"`
	RevokedAt *time.Time `db:"revoked_at" json:"revoked_at,omitempty"`
	UsedAt    *time.Time `db:"used_at" json:"used_at,omitempty"`
}

// An Invitation lets one person in once. Without a program it lets the first
// owner make one. It stands as long as who made it is an owner.
type Invitation struct {
	ID      uuid.UUID     `db:"id" json:"id"`
	Program uuid.NullUUID `db:"program_id" json:"-"`
	Code    *string       `db:"code" json:"-"` // of the program
	Name    *string       `db:"name" json:"-"`
	MadeBy  uuid.NullUUID `db:"made_by" json:"-"`             // null: who runs the server
	Maker   *string       `db:"maker" json:"maker,omitempty"` // their login
	Login   *string       `db:"login" json:"login,omitempty"` // nil: the guest chooses
	Role    Role          `db:"role" json:"role"`
	// the guest may choose a new password for the login: only the administrator makes such
	Resets    bool      `db:"resets" json:"resets"`
	CreatedAt time.Time `db:"created_at" json:"created_at"`
	ExpiresAt time.Time `db:"expires_at" json:"expires_at"`
}

// How long things last.
const (
	SessionLife    = 14 * time.Hour // a long day of film
	InvitationLife = 72 * time.Hour
	MostTokenDays  = 366
)
