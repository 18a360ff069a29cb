package staff

import (
	"time"

	"github.com/google/uuid"
)

// PacketLife is how long a link for players lasts at most: the week.
const PacketLife = 7 * 24 * time.Hour

// A PacketLink shows a position group its packet and quiz of one week, to anyone with it. It
// opens nothing else, and stands as long as who made it may make one.
type PacketLink struct {
	ID        uuid.UUID     `db:"id" json:"id"`
	Program   uuid.UUID     `db:"program_id" json:"-"`
	Opponent  uuid.UUID     `db:"opponent_id" json:"opponent_id"`
	Group     string        `db:"position_group" json:"group"`
	MadeBy    uuid.NullUUID `db:"made_by" json:"-"`
	Maker     *string       `db:"maker" json:"maker,omitempty"` // their login
	CreatedAt time.Time     `db:"created_at" json:"created_at"`
	ExpiresAt time.Time     `db:"expires_at" json:"expires_at"`
	Stands    bool          `db:"stands" json:"stands"`
	Jerseys   int           `db:"jerseys" json:"jerseys"` // that answered
	Answers   int           `db:"answers" json:"answers"`
}
