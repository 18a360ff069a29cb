package call

import (
	"slices"
	"strings"
)

// Names are a staff's own words for defenders: by the name a call gives a man, small
// letters, with his side ("strong overhang") or without ("overhang", both sides).
type Names map[string]string

// Naming is the call said in a staff's own words. The call itself is not changed: its
// men keep the names they are taught under, and answer to both.
func (p *Compiled) Naming(n Names) *Compiled {
	if len(n) == 0 {
		return p
	}
	out := p.copied()
	out.Call.names = n
	out.say()
	return out
}

// copied is a call whose men may be said and run otherwise.
func (p *Compiled) copied() *Compiled {
	c, out := *p.Call, *p
	out.Call = &c
	out.Slots = slices.Clone(p.Slots)
	out.Checks = slices.Clone(p.Checks)
	for i := range out.Checks {
		ch := &out.Checks[i]
		ch.Slots, ch.All = slices.Clone(ch.Slots), slices.Clone(ch.All)
	}
	return &out
}

// say gives every man the staff's word for him. Where two men of a call would have one
// name each is told with his side, and keeps the name he is taught under where that
// does not part them either.
func (p *Compiled) say() {
	n := p.Call.names
	if len(n) == 0 {
		return
	}
	said := map[string]string{} // by taught name
	for _, s := range p.everyone() {
		said[s.Taught] = n.of(s)
	}
	for s := range sharing(p.everyone(), said) {
		said[s.Taught] = sideWord(s.Side) + " " + n.of(s)
	}
	for s := range sharing(p.everyone(), said) {
		said[s.Taught] = s.Taught
	}
	for _, s := range p.everyone() {
		s.Name = said[s.Taught]
	}
	for _, s := range p.everyone() {
		if s.Defender.Side == "both" {
			s.pair = n.paired(s.Defender, said)
		}
	}
}

// everyone lists the slots of the call and of its checks, every copy of them.
func (p *Compiled) everyone() (out []*Slot) {
	lists := [][]Slot{p.Slots}
	for i := range p.Checks {
		lists = append(lists, p.Checks[i].Slots, p.Checks[i].All)
	}
	for _, l := range lists {
		for i := range l {
			out = append(out, &l[i])
		}
	}
	return out
}

// of is the staff's word for a man; his taught name where they have none.
func (n Names) of(s *Slot) string {
	name, side := strings.ToLower(s.Taught), sideWord(s.Side)
	base := strings.TrimPrefix(strings.TrimPrefix(name, "strong "), "weak ")
	for _, key := range []string{name, side + " " + base} {
		if w := n[key]; w != "" {
			return w
		}
	}
	w := n[base]
	switch {
	case w == "":
		return s.Taught
	case s.Defender.Side == "both" || name != base:
		return side + " " + w
	}
	return w
}

// sharing are those who are told by a name that somebody else is told by too.
func sharing(men []*Slot, said map[string]string) map[*Slot]bool {
	out := map[*Slot]bool{}
	for _, s := range men {
		for other, name := range said {
			if other != s.Taught && strings.EqualFold(name, said[s.Taught]) {
				out[s] = true
			}
		}
	}
	return out
}

// A pair is how two copies of a man are told together.
type pair struct{ strong, weak, either string }

// paired says how both copies of a man are told together, nil: by the call's own name.
func (n Names) paired(d *Defender, said map[string]string) *pair {
	p := pair{said["strong "+d.Name], said["weak "+d.Name], n[strings.ToLower(d.Name)]}
	switch {
	case p.either != "" && p.strong == "strong "+p.either && p.weak == "weak "+p.either:
		return &p
	case p.strong == "strong "+d.Name && p.weak == "weak "+d.Name:
		return nil
	}
	p.either = ""
	return &p
}

// Group is how a man is told where both copies of him are meant: "both overhangs", "Nickel
// and Will".
func (s *Slot) Group() string {
	switch {
	case s.Defender.Side != "both":
		return s.Name
	case s.pair == nil:
		return "both " + plural(s.Defender.Name)
	case s.pair.either != "":
		return "both " + plural(s.pair.either)
	}
	return s.pair.strong + " and " + s.pair.weak
}

// plural of a man's name: "safeties", "slot men", "men on #2", "CBs".
func plural(name string) string {
	if rest, ok := strings.CutPrefix(name, "man on "); ok {
		return "men on " + rest
	}
	for end, many := range map[string]string{"y": "ies", "man": "men"} {
		if rest, ok := strings.CutSuffix(name, end); ok {
			return rest + many
		}
	}
	return name + "s"
}

// Title is the name at the head of what a man is handed: of both copies of him.
func (s *Slot) Title() string {
	switch {
	case s.Defender.Side != "both":
		return s.Name
	case s.pair == nil:
		return s.Defender.Name
	case s.pair.either != "":
		return s.pair.either
	}
	return s.pair.strong + " / " + s.pair.weak
}

// Is reports whether somebody means this man: by the staff's name or the taught one,
// with his side or, for both of a kind, without.
func (s *Slot) Is(name string) bool {
	return s.Name == name || s.Taught == name || s.Defender.Name == name
}

func sideWord(side int) string {
	if side == Strong {
		return "strong"
	}
	return "weak"
}

// Position is the man as a staff's word for him is kept: with his side wherever he has a
// twin in this or another call, "strong overhang".
func (s *Slot) Position() string {
	base := strings.TrimPrefix(strings.TrimPrefix(s.Taught, "strong "), "weak ")
	if s.Defender.Side == "both" || base != s.Taught || twinned[base] {
		return sideWord(s.Side) + " " + base
	}
	return s.Taught
}

// twinned are names that some call of the built-in book has on both sides.
var twinned = func() map[string]bool {
	out := map[string]bool{}
	for _, p := range book {
		for _, d := range p.Call.Defenders {
			if d.Side == "both" {
				out[d.Name] = true
			}
		}
	}
	return out
}()
