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
		return "hold where you are"
	case call.Rush:
		return "rush the passer"
	case call.InZone:
		s := "play the " + d.Zone + " zone"
		if d.Help {
			s = "help in the " + d.Zone + " zone"
		}
		if d.FarZone {
			s += " on the other side"
		}
		return s
	}
	s := map[call.Verb]string{
		call.Man:     "take " + who + " man to man, wherever he goes",
		call.Carry:   "carry " + who + " upfield",
		call.Under:   "play under " + who + " (a deep ball to him is not yours)",
		call.HelpOn:  "help on " + who,
		call.Read:    "stay with " + who + " until he shows",
		call.Squeeze: "sink toward " + who + " (he is not yours)",
		call.Bump:    "bump " + who + " on your way",
	}[d.Verb]
	switch d.Leverage {
	case -1:
		s += ", from inside"
	case +1:
		s += ", from outside"
	}
	if d.Trail {
		s += ", on his hip"
	}
	return s
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
		s += ", to trail him"
	}
	if a.Missing > 0 {
		s += fmt.Sprintf(" (where that man is missing: %s from the ball on your side)", Yards(a.Missing))
	}
	return s
}

func place(a *call.Align) string {
	on := map[string]string{"end man": "the end man on the line", "back": "the back", "hash": "the hash on your side",
		"apex": "the middle between #2 and the end man"}[a.On]
	if on == "" {
		on = a.On
	}
	switch {
	case a.On == "ball" && a.Offset == 0:
		return "over the ball"
	case a.On == "ball" && a.Offset > 0:
		return Yards(a.Offset) + " from the ball to your side"
	case a.On == "ball":
		return Yards(-a.Offset) + " from the ball to the other side"
	case a.Offset > 0:
		return Yards(a.Offset) + " outside " + on
	case a.Offset < 0:
		return Yards(-a.Offset) + " inside " + on
	}
	return "on " + on
}

// Fit says what a run role is; "" where he has none.
func Fit(role string) string {
	p, ok := call.Place[role]
	if !ok {
		return ""
	}
	words := map[string]string{"gap": "fit your gap", "plug": "plug the middle", "alley": "fill the alley",
		"force": "force, nothing gets outside you", "cutback": "the cutback, nothing gets back past you"}[role]
	return fmt.Sprintf("Against the run: %s; your place is %s from the ball on your side, %s deep.", words, Yards(p.X),
		Yards(p.Y))
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
	depth := "up to " + Yards(z.Y1) + " deep"
	switch {
	case z.Y1 >= far:
		depth = "everything deeper than " + Yards(z.Y0)
	case z.Y0 > 0:
		depth = "from " + Yards(z.Y0) + " to " + Yards(z.Y1) + " deep"
	}
	s := fmt.Sprintf("%s zone: from %s %s, %s. Drop to %s out, %s deep", name, from, to, depth, Yards(z.X), Yards(z.Y))
	if z.X == 0 {
		s = fmt.Sprintf("%s zone: from %s %s, %s. Drop over the ball, %s deep", name, from, to, depth, Yards(z.Y))
	}
	if z.Sink > 0 {
		return s + "; sink no deeper than " + Yards(z.Sink) + "."
	}
	return s + "; stay as deep as the deepest."
}
