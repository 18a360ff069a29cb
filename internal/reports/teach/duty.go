package teach

import (
	"fmt"
	"strings"

	"overhang/internal/stress/call"
)

// Then says what a rule makes a man do; the first is what he does first.
func Then(ds []call.Duty) string {
	out := make([]string, len(ds))
	for i := range ds {
		out[i] = do(&ds[i])
	}
	return strings.Join(out, "; ")
}

func do(d *call.Duty) string {
	who := Who(d.Who)
	switch d.Verb {
	case call.Hold:
		return "hold your spot"
	case call.Rush:
		return "rush the passer"
	case call.InZone:
		s := "play the " + ground(d.Zone)
		if d.Help {
			s = "help in the " + ground(d.Zone)
		}
		if d.FarZone {
			s += " on the other side"
		}
		return s
	}
	s := map[call.Verb]string{
		call.Man:     "man " + who,
		call.Carry:   "carry " + who + " vertical",
		call.Under:   "play under " + who + " (no deep ball)",
		call.HelpOn:  "help on " + who,
		call.Read:    "stay with " + who + " until he declares",
		call.Squeeze: "squeeze " + who + " (not your man)",
		call.Bump:    "bump " + who + " on the way",
	}[d.Verb]
	switch d.Leverage {
	case -1:
		s += ", inside leverage"
	case +1:
		s += ", outside leverage"
	}
	if d.Trail {
		s += ", trail"
	}
	return s
}

// grounds are the zones whose name alone a coach would not say to a player. Common practice,
// no source.
var grounds = map[string]string{"cloud": "cloud flat", "cloud sink": "cloud flat and sink", "half": "deep half",
	"third": "deep third", "middle third": "deep middle third", "side underneath": "underneath zone",
	"rat": "low hole and cut the first crosser"}

// ground is a zone as it is said to the man who plays it; a zone of the staff's own has its name.
func ground(zone string) string {
	if s := grounds[zone]; s != "" {
		return s
	}
	return zone
}

// Keys says whom a man reads, in order.
func Keys(ws []call.Who) string {
	if len(ws) == 0 {
		return "You read no receiver."
	}
	names := make([]string, len(ws))
	for i, w := range ws {
		names[i] = Who(w)
	}
	return "Read " + strings.Join(names, ", then ") + "."
}

// Align says where a man lines up. Out is toward his own sideline.
func Align(a *call.Align) string {
	s := place(a) + ", " + Yards(a.Depth) + " deep"
	switch a.Technique {
	case "press":
		s += ", press"
	case "trail":
		s += ", trail technique"
	}
	if a.Missing > 0 {
		s += fmt.Sprintf(" (no %s: %s outside the ball)", strings.TrimPrefix(mark(a), "the "), Yards(a.Missing))
	}
	return s
}

// mark is whom or what an alignment counts from.
func mark(a *call.Align) string {
	switch a.On {
	case "end man":
		return "the end man on the line"
	case "back", "ball":
		return "the " + a.On
	case "hash":
		return "the hash on your side"
	case "apex": // between him and the end man
		return "#2"
	}
	return a.On
}

func place(a *call.Align) string {
	on := mark(a)
	switch {
	case a.On == "ball" && a.Offset == 0:
		return "over the ball"
	case a.On == "ball" && a.Offset > 0:
		return Yards(a.Offset) + " outside the ball"
	case a.On == "ball":
		return Yards(-a.Offset) + " outside the ball on the other side"
	case a.On == "apex" && a.Offset == 0:
		return "halfway between #2 and the end man"
	case a.On == "apex" && a.Offset > 0:
		return Yards(a.Offset) + " outside halfway between #2 and the end man"
	case a.On == "apex":
		return Yards(-a.Offset) + " inside halfway between #2 and the end man"
	case a.Offset > 0:
		return Yards(a.Offset) + " outside " + on
	case a.Offset < 0:
		return Yards(-a.Offset) + " inside " + on
	}
	return "on " + on
}

// runRoles are the run roles as they are said to a man. Common practice, no source.
var runRoles = map[string]string{"gap": "fit your gap.", "plug": "plug the middle.", "alley": "fill the alley.",
	"force": "force. Nothing gets outside you.", "cutback": "cutback. Nothing gets back past you."}

// Fit says what a run role is; "" where he has none.
func Fit(role string) string {
	if s := runRoles[role]; s != "" {
		return "Run: " + s
	}
	return ""
}

// far is a depth or width past which a zone simply goes on.
const far = 30

// Zone says what ground a zone is.
func Zone(name string, z call.Zone) string {
	from := Yards(z.X0) + " out"
	if z.X0 < 0 {
		from = Yards(-z.X0) + " past the ball"
	} else if z.X0 == 0 {
		from = "the ball"
	}
	to := "to " + Yards(z.X1) + " out"
	if z.X1 >= far {
		to = "to your sideline"
	}
	drop := "to " + Yards(z.X) + " out"
	if z.X == 0 {
		drop = "over the ball"
	}
	s := fmt.Sprintf("%s: from %s %s, %s. Drop %s, %s deep", ground(name), from, to, deep(z), drop, Yards(z.Y))
	if z.Sink > 0 {
		return s + "; sink no deeper than " + Yards(z.Sink) + "."
	}
	return s + "; stay as deep as the deepest receiver."
}

// deep says from where to where a zone reaches past the line.
func deep(z call.Zone) string {
	switch {
	case z.Y1 >= far:
		return "everything deeper than " + Yards(z.Y0)
	case z.Y0 > 0:
		return "from " + Yards(z.Y0) + " to " + Yards(z.Y1) + " deep"
	}
	return "up to " + Yards(z.Y1) + " deep"
}
