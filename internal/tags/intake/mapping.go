// Package intake brings spreadsheets in: CSV (RFC 4180) with a mapping file
// that says which of their columns and words are which of ours. It checks
// every row and reports every bad one as file:line: field: message.
package intake

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"sort"
	"strings"

	"go.yaml.in/yaml/v4"
)

// A Mapping says how one spreadsheet reads. Written in YAML, by a person.
type Mapping struct {
	About    string              `yaml:"about"`     // what the file is, and the attribution it asks for
	Unknown  []string            `yaml:"unknown"`   // cells that mean "not known", beside an empty one
	NewWords string              `yaml:"new_words"` // refuse (usual), or add them to the vocabulary
	Opponent Source              `yaml:"opponent"`  // code of the offense
	Season   Source              `yaml:"season"`
	Game     Source              `yaml:"game"`
	Week     Source              `yaml:"week"`
	Versus   Source              `yaml:"versus"`
	Ours     Source              `yaml:"ours"`   // yes or no: the program played the game itself
	Fields   map[string]Source   `yaml:"fields"` // our fields of a play
	Routes   []map[string]Source `yaml:"routes"` // one entry an eligible

	fields []string // in order
	routes [][]string
}

// A Source is where a value comes from: the first case that holds, else the
// column through the words, else the constant.
type Source struct {
	Column    string            `yaml:"column"`
	Words     map[string]string `yaml:"words"`     // their word: ours
	Otherwise string            `yaml:"otherwise"` // for a word that is not listed; empty: it stays as it is
	Constant  string            `yaml:"constant"`
	Cases     []Case            `yaml:"cases"`
}

// A Case gives a value when every named column holds the named word.
type Case struct {
	When map[string]string `yaml:"when"`
	Is   string            `yaml:"is"`
}

// ReadMapping reads a mapping file and refuses members and fields it does not know.
func ReadMapping(r io.Reader) (*Mapping, error) {
	dec := yaml.NewDecoder(r)
	dec.KnownFields(true)
	var m Mapping
	if err := dec.Decode(&m); err != nil {
		return nil, fmt.Errorf("mapping: %w", err)
	}
	return &m, m.check()
}

// check names everything that a mapping says wrong, in the order of its words.
func (m *Mapping) check() error {
	var errs []error
	for f := range m.Fields {
		if setters[f] == nil {
			errs = append(errs, fmt.Errorf("mapping: fields: %q is not a field of a play", f))
		}
	}
	for i, route := range m.Routes {
		for f := range route {
			if routeSetters[f] == nil {
				errs = append(errs, fmt.Errorf("mapping: routes[%d]: %q is not a field of a route", i, f))
			}
		}
	}
	if m.Opponent.empty() || m.Game.empty() {
		errs = append(errs, errors.New("mapping: opponent and game must say where they come from"))
	}
	if m.NewWords != "" && m.NewWords != "add" && m.NewWords != "refuse" {
		errs = append(errs, fmt.Errorf("mapping: new_words is %q: need add or refuse", m.NewWords))
	}
	sort.Slice(errs, func(i, j int) bool { return errs[i].Error() < errs[j].Error() })
	return errors.Join(errs...)
}

func (s *Source) empty() bool { return s.Column == "" && s.Constant == "" && len(s.Cases) == 0 }

// columns lists every column the mapping reads.
func (m *Mapping) columns() []string {
	seen := map[string]bool{}
	for _, s := range []Source{m.Opponent, m.Season, m.Game, m.Week, m.Versus, m.Ours} {
		s.columns(seen)
	}
	for _, s := range m.Fields {
		s.columns(seen)
	}
	for _, r := range m.Routes {
		for _, s := range r {
			s.columns(seen)
		}
	}
	return slices.Sorted(maps.Keys(seen))
}

// columns adds the columns that a source reads.
func (s *Source) columns(seen map[string]bool) {
	if s.Column != "" {
		seen[s.Column] = true
	}
	for _, c := range s.Cases {
		for col := range c.When {
			seen[col] = true
		}
	}
}

// A row is one record with its header.
type row struct {
	at      map[string]int
	cells   []string
	unknown map[string]bool
}

func (r row) cell(col string) string {
	i, ok := r.at[col]
	if !ok {
		return ""
	}
	v := strings.TrimSpace(r.cells[i])
	if r.unknown[v] {
		return ""
	}
	return v
}

// value takes a source's value out of a row; "" means unknown.
func (s *Source) value(r row) string {
	for _, c := range s.Cases {
		holds := true
		for col, want := range c.When {
			holds = holds && r.cell(col) == want
		}
		if holds {
			return c.Is
		}
	}
	if s.Column == "" {
		return s.Constant
	}
	v := r.cell(s.Column)
	if v == "" {
		return s.Constant
	}
	if w, ok := s.Words[v]; ok {
		return w
	}
	if s.Otherwise != "" {
		return s.Otherwise
	}
	return v
}
