package call

import (
	"fmt"
	"strings"
)

// What a call may be made of: some three times what the largest of the book has (nine
// entries for eleven men, nine rules for one, four alignments, one check). All of it is
// judged for every play against every picture.
const (
	mostMen    = 22 // laid out side by side; eleven may be saved
	mostAligns = 24
	mostRules  = 40
	mostAtoms  = 120 // of the conditions of one man
	mostKeys   = 16
	mostChecks = 12
	mostZones  = 64
	longest    = 400 // bytes of a condition, of duties, of a name
)

// bounded refuses a call that is larger than anything that is taught.
func (c *Call) bounded() error {
	if n := len(c.Checks); n > mostChecks {
		return fmt.Errorf("call: %d checks: at most %d are allowed", n, mostChecks)
	}
	if n := len(c.Zones); n > mostZones {
		return fmt.Errorf("call: %d zones: at most %d are allowed", n, mostZones)
	}
	if err := boundedMen(c.Defenders); err != nil {
		return fmt.Errorf("call: %w", err)
	}
	for i := range c.Checks {
		ch := &c.Checks[i]
		if err := boundedMen(ch.Defenders); err != nil {
			return fmt.Errorf("call, check %.60s: %w", ch.Name, err)
		}
		if len(ch.When) > longest || len(ch.Name) > longest {
			return fmt.Errorf("call, check %.60s: a text of more than %d bytes", ch.Name, longest)
		}
	}
	return nil
}

func boundedMen(ds []Defender) error {
	men := 0
	for i := range ds {
		d := &ds[i]
		if men++; d.Side == "both" {
			men++
		}
		if why := d.excess(); why != "" {
			return fmt.Errorf("%.60s: %s", d.Name, why)
		}
	}
	if men > mostMen {
		return fmt.Errorf("%d men: at most %d are allowed", men, mostMen)
	}
	return nil
}

// excess says what a defender has too much of, "" when nothing.
func (d *Defender) excess() string {
	for _, x := range []struct {
		what    string
		n, most int
	}{{"alignments", len(d.Align), mostAligns}, {"rules", len(d.Rules), mostRules}, {"keys", len(d.Keys), mostKeys},
		{"roles", len(d.Roles), mostKeys}} {
		if x.n > x.most {
			return fmt.Sprintf("%d %s: at most %d are allowed", x.n, x.what, x.most)
		}
	}
	texts, atoms := []string{d.Name, d.Fit, d.Body}, 0
	for _, a := range d.Align {
		texts = append(texts, a.When, a.On, a.Technique)
	}
	for _, r := range d.Rules {
		texts = append(texts, r.When, r.Then)
		atoms += 1 + strings.Count(r.When, " or ") + strings.Count(r.When, " and ")
	}
	for _, s := range texts {
		if len(s) > longest {
			return fmt.Sprintf("a text of more than %d bytes", longest)
		}
	}
	if atoms > mostAtoms {
		return fmt.Sprintf("%d conditions in his rules: at most %d are allowed", atoms, mostAtoms)
	}
	return ""
}
