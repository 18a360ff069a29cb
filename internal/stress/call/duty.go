package call

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// Verb is what a duty makes a defender do and owe.
type Verb uint8

const (
	Man     Verb = iota + 1 // him, all over the field
	Carry                   // him vertically
	Under                   // him, but deep balls are someone else's
	HelpOn                  // rob or bracket him: a help, not an own
	InZone                  // catches in a zone
	Read                    // shadow him until he declares; owes him meanwhile
	Hold                    // stay
	Squeeze                 // sink and narrow toward him; owes nothing
	Bump                    // delay him once
	Rush                    // go for the passer
)

var verbs = map[string]Verb{"man": Man, "carry": Carry, "under": Under, "help": HelpOn, "zone": InZone,
	"read": Read, "hold": Hold, "squeeze": Squeeze, "bump": Bump, "rush": Rush}

// A Duty is one responsibility of a rule.
type Duty struct {
	Verb     Verb
	Who      Who
	FarZone  bool // the zone of that name on the other side
	Help     bool
	Trail    bool // from behind, on the hip
	Leverage int8 // -1 inside, +1 outside of his man; 0 as he lines up
	Zone     string
	Area     Area // where that zone lies, once the call is compiled
}

// ParseDuties reads the then-part of a rule: duties joined by ";".
func ParseDuties(s string) ([]Duty, error) {
	var out []Duty
	for _, part := range strings.Split(strings.ToLower(s), ";") {
		d, err := parseDuty(strings.TrimSpace(part))
		if err != nil {
			return nil, fmt.Errorf("%q: %w", strings.TrimSpace(part), err)
		}
		out = append(out, d)
	}
	return out, nil
}

func parseDuty(s string) (Duty, error) {
	word, rest, _ := strings.Cut(s, " ")
	v, ok := verbs[word]
	if !ok {
		return Duty{}, fmt.Errorf("unknown verb %q%s", word, meant(word, slices.Sorted(maps.Keys(verbs))))
	}
	d := Duty{Verb: v, Help: v == HelpOn}
	switch {
	case v == Hold || v == Rush:
		if rest != "" {
			return d, fmt.Errorf("%q is for nobody: type %q alone", word, word)
		}
		return d, nil
	case v == HelpOn && strings.HasPrefix(rest, "zone "):
		d.Verb, rest = InZone, strings.TrimPrefix(rest, "zone ")
		fallthrough
	case v == InZone:
		d.Zone = strings.TrimSpace(rest)
		if z, ok := strings.CutPrefix(d.Zone, "far "); ok {
			d.Zone, d.FarZone = z, true
		}
		return d, nil
	}
	who, rest, err := parseWho(rest)
	if err != nil {
		return d, err
	}
	d.Who = who
	for _, w := range strings.Fields(rest) {
		switch w {
		case "inside":
			d.Leverage = -1
		case "outside":
			d.Leverage = +1
		case "trail":
			d.Trail = true
		default:
			return d, fmt.Errorf("unknown word %q%s", w, meant(w, []string{"inside", "outside", "trail"}))
		}
	}
	return d, nil
}
