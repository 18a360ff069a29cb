package drawing

import (
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
)

// A Scene is what a drawing shows, in the engine's frame and yards, before any
// layout. Concept, Call and Finding build it.
type Scene struct {
	Title string // one line over the drawing
	Words string // the drawing in words, for who does not see it
	Notes []string
	Field Strip
	Men   []Man
	// Passer is where he sets up; he starts behind the ball.
	Passer   field.Point
	Routes   []Route
	Zones    []Zone
	Ties     []Tie
	Fits     []Fit
	Run      *Carry  // nil where the family shows none
	Blocks   []Block // of a run: those who have a part in it
	Conflict *Conflict
	Options  Options
}

// Options are what a caller may want otherwise.
type Options struct {
	// Title replaces the built one; a caller that sets the title itself leaves
	// Caption false.
	Title string
	// Caption prints the title over the drawing and the notes under it.
	Caption bool
	// FromDefense turns the field, so that the defense looks up the page.
	FromDefense bool
	// Bare, when it names a defender, leaves the signs of everybody else's duty away, and
	// marks him.
	Bare string
	// Top is how deep the drawing goes, 0: as deep as what it shows.
	Top field.Yards
	// Close shows the ground round the ball only, HalfLine of that the side of the play.
	Close, HalfLine bool
}

// A Strip is the piece of field a drawing shows.
type Strip struct {
	Spot        field.Spot
	Bottom, Top field.Yards // y of the lower and upper edge
	Left, Right field.Yards // x of the left and right one; both 0: from sideline to sideline
}

// A Kind of man.
type Kind int

const (
	Eligible Kind = iota + 1 // a receiver or a back
	Passer                   // who throws
	Lineman                  // blocks
	Center                   // snaps
	Defender                 // covers or fits
	Rusher                   // rushes from the snap
)

// A Man is one of the twenty-two at the snap.
type Man struct {
	Kind Kind
	At   field.Point
	Mark string // in his symbol
	Name string
	Away bool // outside of what is shown
}

// A Role is how a route or a man stands out.
type Role int

const (
	Plain Role = iota // none
	Open              // the open threat of the finding
	Other             // the threat that holds the man
)

// A Route is what an eligible runs.
type Route struct {
	Man    int // index into Men
	Path   []field.Point
	Breaks []Break
	Stops  bool // he settles at the end
	Blocks bool
	Role   Role
	Branch bool // the other way the same route could have gone
}

// A Break is a change of direction with the depth it is taught at.
type Break struct {
	At    field.Point
	Depth field.Yards
}

// A Zone is a drop to a landmark.
type Zone struct {
	Man  int
	Name string
	Mark field.Point // the landmark
	// X0, X1 is the width of the zone, cut at the sidelines.
	X0, X1 field.Yards
	Y0, Y1 field.Yards
	Help   bool
}

// A Tie joins a defender to the man he owes.
type Tie struct {
	Man, Target int // indexes into Men
	Verb        call.Verb
	Help        bool
}

// A Fit is where a defender stands against the run.
type Fit struct {
	Man int
	At  field.Point
}

// A Carry is the inside run a family shows: the engine's run threat.
type Carry struct {
	From, To field.Point
	Sure     bool          // it is a run; else a fake, or the passer may yet keep it
	Path     []field.Point // of a run as it is blocked; nil: straight
	Bend     []field.Point // where it may go instead
}

// A Conflict is the finding a drawing is about.
type Conflict struct {
	Man       int           // index into Men, the defender it is put on
	Open      string        // the open threat in a coach's words
	Other     string        // the threat that holds him, empty for none
	ShortYd   field.Yards   // how far open the throw is: from the catch to the nearest man
	AtS       field.Seconds // the release of the largest size
	Track     []field.Point // his way until then
	Stand     field.Point   // where he is then
	OpenAt    field.Point   // the catch he is short of
	OtherAt   field.Point   // the catch, or the fit, that holds him; used when Other is set
	OtherIsBy bool          // Other is the other branch of the same route
}
