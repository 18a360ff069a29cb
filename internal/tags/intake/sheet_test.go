package intake_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"overhang/internal/tags"
	"overhang/internal/tags/intake"
	"overhang/internal/tags/starter"
)

func known() intake.Known { return intake.Known{Vocabulary: tags.NewVocabulary(starter.Words())} }

func readSheet(t *testing.T, name string, a intake.Answers) *intake.Sheet {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", "sheets", name))
	must(t, err)
	s, err := intake.ReadSheet(name, data, known(), a)
	must(t, err)
	return s
}

// TestThreeSheets: each comes in whole, without a word about it, as it was
// invented.
func TestThreeSheets(t *testing.T) {
	for _, tc := range []struct {
		name      string
		opponents string
		snaps     map[string][]snap // by opponent and game
	}{
		{"one-header.csv", "bracken 90", map[string][]snap{"bracken 2026-09-12": invent(1, 90)}},
		{"two-tabs.xlsx", "sedge 120", map[string][]snap{"sedge 2026-09-05": invent(10, 60), "sedge 2026-09-19": invent(11,
			60)}},
		{"merged.xlsx", "hawthorn 45, tansy 45", map[string][]snap{"hawthorn 2026-09-11": invent(20, 45),
			"tansy 2026-09-18": invent(21, 45)}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s := readSheet(t, tc.name, intake.Answers{})
			var opponents []string
			for _, o := range s.Proposal.Opponents {
				opponents = append(opponents, fmt.Sprint(o.Code, " ", o.Plays))
			}
			if got := strings.Join(opponents, ", "); got != tc.opponents || len(s.Bad) > 0 {
				t.Fatalf("opponents %s, %d bad rows; want %s and none\n%s", got, len(s.Bad), tc.opponents, s.Proposal.Text())
			}
			for _, r := range s.Records {
				snaps := tc.snaps[r.Opponent+" "+r.Game.Label]
				if r.Play.Number > len(snaps) {
					t.Fatalf("play %d of %s %s was never invented", r.Play.Number, r.Opponent, r.Game.Label)
				}
				samePlay(t, &r.Play, snaps[r.Play.Number-1])
			}
			if len(s.Fresh) > 0 {
				t.Errorf("new words %+v; want none: a typo is no word", s.Fresh)
			}
			if s.Proposal.Assumed < 20 || len(s.Proposal.Sample) != 5 {
				t.Errorf("%d plays with assumed routes, %d shown", s.Proposal.Assumed, len(s.Proposal.Sample))
			}
		})
	}
}

// samePlay holds a stored play against the snap it was written from.
func samePlay(t *testing.T, p *tags.Play, s snap) {
	t.Helper()
	sides := map[string]string{"L": "left", "M": "middle", "R": "right"}
	called := map[bool]string{true: "run", false: "pass"}[s.run]
	result := map[string]string{"run": "rush", "interception": "intercepted"}[s.result]
	if result == "" {
		result = s.result
	}
	coverage := map[string]string{"quarters": "cover 4"}[s.coverage]
	if coverage == "" {
		coverage = s.coverage
	}
	want := fmt.Sprint(s.quarter, s.down, s.distance, s.spot, s.gain, sides[s.hash], s.personnel, s.set, called, s.concept,
		sides[s.side], result, coverage)
	got := fmt.Sprint(whole(p.Quarter), whole(p.Down), whole(p.DistanceYd), whole(p.YardsToGoal), whole(p.GainYd),
		text(p.Hash), text(p.Personnel), text(p.SetName), text(p.Called), text(p.Concept), text(p.PlaySide),
		text(p.Result), text(p.Coverage))
	if got != want {
		t.Errorf("play %d: %s\nwant       %s", p.Number, got, want)
	}
}

func whole(n *int) int {
	if n == nil {
		return -1000
	}
	return *n
}

func text(s *string) string {
	if s == nil {
		return "(empty)"
	}
	return *s
}

// TestMistakes: each of twenty is named once, with its cell.
func TestMistakes(t *testing.T) {
	s := readSheet(t, "mistakes.csv", intake.Answers{})
	said := s.Proposal.Said()
	heads := oneHeader()[0]
	for _, m := range mistakes {
		col := 0
		for c, h := range heads {
			if h == m.head {
				col = c
			}
		}
		cell := fmt.Sprintf("%c%d", 'A'+col, m.row)
		n := 0
		for _, line := range strings.Split(said, "\n") {
			if strings.Contains(line, cell+":") || strings.Contains(line, cell+")") || strings.Contains(line, cell+",") {
				n++
				if !strings.Contains(line, m.mustMention) {
					t.Errorf("%s: said %q without %q", cell, line, m.mustMention)
				}
			}
		}
		if n != 1 {
			t.Errorf("%s (%q): named %d times, want once", cell, m.text, n)
		}
	}
	if t.Failed() {
		t.Log(said)
	}
	for _, w := range s.Fresh {
		t.Errorf("%s %q became a word", w.Field, w.Word)
	}
}
