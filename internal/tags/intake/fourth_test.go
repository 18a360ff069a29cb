package intake_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"overhang/internal/tags/intake"
)

// Five sheets of a fourth round, all invented, laid out before they were tried: formations in
// code words that nobody knows, a header of two merged lines with dates of the workbook's own,
// words for every number, a call of one text, and a column a receiver. STRANGERS=folder
// writes them there.

// codeWords are formations in the words of one invented staff.
func codeWords(s snap) string {
	return map[string]string{"2x2": "Ruby", "3x1": "Tango", "2x1": "Onyx"}[s.set] +
		map[string]string{"L": " Lou", "R": " Roy"}[s.strength]
}

// ledger has sums after each game, decimal commas and formations in code words.
func ledger(t *testing.T) []byte {
	rows := [][]string{{"Scouting Béryl", "", ""}, {"all numbers from film", "", ""},
		{"Game", "Play No", "Series", "Qtr", "Time Left", "Down", "Dist.", "Ball", "Hash", "Grp", "Alignment", "R or P",
			"Call", "To", "Gained", "How it ended", "Their D"}}
	for g, day := range []string{"05.09.2026", "12.09.2026"} {
		sum := 0
		for i, s := range invent(uint64(101+g), 44) {
			rows = append(rows, []string{day, fmt.Sprint(s.number), fmt.Sprint(1 + i/6), fmt.Sprint(s.quarter),
				clockText(s.clock), fmt.Sprint(s.down), fmt.Sprint(s.distance), signed(s.spot), s.hash, s.personnel, codeWords(s),
				runOrPass(s)[:1], upper(s.concept), s.side, fmt.Sprintf("%d,0", s.gain), upper(s.result), upper(s.coverage)})
			sum += s.gain
		}
		rows = append(rows, []string{"Sum", "44", "", "", "", "", "", "", "", "", "", "", "", "", fmt.Sprintf("%d,0", sum)},
			[]string{"Average", "", "", "", "", "", "", "", "", "", "", "", "", "", fmt.Sprintf("%.1f", float64(sum)/44)})
	}
	out, err := charmap.ISO8859_1.NewEncoder().Bytes(csvText(rows, ";"))
	must(t, err)
	return out
}

// grouped is a workbook of two games and a tab of counts; groups stand merged over the heads,
// dates are the workbook's own, downs and quarters ordinals.
func grouped(t *testing.T) []byte {
	f := excelize.NewFile()
	must(t, f.SetSheetName("Sheet1", "Counts"))
	must(t, f.SetSheetRow("Counts", "A1", &[]any{"Down", "Run", "Pass", "Run %"}))
	for d := range 4 {
		must(t, f.SetSheetRow("Counts", fmt.Sprint("A", 2+d), &[]any{d + 1, 20 - 4*d, 12 + 3*d, 0.5}))
	}
	ordinal := []string{"", "1st", "2nd", "3rd", "4th"}
	for g, tab := range []string{"Quarry", "Harbor"} {
		_, err := f.NewSheet(tab)
		must(t, err)
		must(t, f.SetSheetRow(tab, "A1", &[]any{"Bramble on offense"}))
		must(t, f.MergeCell(tab, "A1", "P1"))
		must(t, f.SetSheetRow(tab, "A2", &[]any{"Played", time.Date(2026, 9, 4+7*g, 0, 0, 0, 0, time.UTC)}))
		must(t, f.SetSheetRow(tab, "A3", &[]any{"Play", "Field", nil, nil, nil, nil, "Lineup", nil, nil, "Call", nil, nil,
			"End", nil, nil, "Defense"}))
		for _, span := range [][2]string{{"A3", "A4"}, {"B3", "F3"}, {"G3", "I3"}, {"J3", "L3"}, {"M3", "O3"}} {
			must(t, f.MergeCell(tab, span[0], span[1]))
		}
		must(t, f.SetSheetRow(tab, "A4", &[]any{"Play", "Qtr", "Down", "Dist", "Yard", "Hash", "Personnel", "Formation",
			"Strength", "R/P", "Name", "Direction", "Result", "Gain", "Notes", "Coverage"}))
		for i, s := range invent(uint64(111+g), 40) {
			must(t, f.SetSheetRow(tab, fmt.Sprint("A", 5+i), &[]any{s.number, ordinal[s.quarter], ordinal[s.down], s.distance,
				sided(s.spot), s.hash, s.personnel, doubles(s), s.strength, runOrPass(s), shortly(s.concept), s.side,
				upper(s.result), s.gain, nil, s.coverage}))
		}
		must(t, f.SetSheetRow(tab, "A46", &[]any{"Total", nil, nil, nil, nil, nil, nil, nil, nil, nil, nil, nil, nil, 200}))
	}
	return book(t, f)
}

var (
	numerals = []string{"zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
		"twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"}
	ordinals = []string{"", "first", "second", "third", "fourth"}
	tens     = []string{"", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"}
)

// inWords is a number as it is said.
func inWords(n int) string {
	if n < 20 {
		return numerals[n]
	}
	if n%10 == 0 {
		return tens[n/10]
	}
	return tens[n/10] + "-" + numerals[n%10]
}

func gained(n int) string {
	switch {
	case n > 0:
		return "gain of " + fmt.Sprint(n)
	case n < 0:
		return "loss of " + fmt.Sprint(-n)
	}
	return "no gain"
}

// wordy has a word for everything, tabs between and UTF-16.
func wordy(t *testing.T) []byte {
	side := map[string]string{"L": "left", "M": "middle", "R": "right"}
	rows := [][]string{{"Offense", "Game", "Play number", "Period", "Down", "Yards to go", "Field position", "Hash mark",
		"Personnel group", "Receiver set", "Strong side", "Run or pass", "Concept name", "Direction of play", "Outcome",
		"Yardage", "Defensive coverage"}}
	for _, s := range invent(121, 60) {
		rows = append(rows, []string{"Larkspur", "Week 3", fmt.Sprint(s.number), ordinals[s.quarter] + " quarter",
			ordinals[s.down], inWords(s.distance), strings.ReplaceAll(sided(s.spot), "opp ", "opponent's "),
			side[s.hash] + " hash", map[string]string{"11": "eleven", "12": "twelve", "10": "ten"}[s.personnel],
			map[string]string{"2x2": "two by two", "3x1": "three by one", "2x1": "two by one"}[s.set],
			"to the " + side[s.strength],
			strings.ToLower(runOrPass(s)), s.concept, "to the " + side[s.side], map[string]string{"run": "rushed",
				"complete": "caught", "incomplete": "not caught", "sack": "sacked", "interception": "picked off"}[s.result],
			gained(s.gain), map[string]string{"cover 1": "cover one", "cover 2": "cover two", "cover 3": "cover three",
				"quarters": "quarters"}[s.coverage]})
	}
	out, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().Bytes(csvText(rows, "\t"))
	must(t, err)
	return out
}

// oneText has the down, the distance, the hash and all else in one text.
func oneText() []byte {
	rows := [][]string{{"DN", "DIST", "HASH", "PLAY CALL"}}
	for _, s := range invent(131, 55) {
		rows = append(rows, []string{fmt.Sprint(s.down), fmt.Sprint(s.distance), s.hash,
			strings.ToUpper(fmt.Sprintf("%s %s %st - %s", s.personnel, doubles(s), s.strength, s.concept))})
	}
	return csvText(rows, ",")
}

// perReceiver has a column a receiver with his route, some misspelled, and no word for the
// concept.
func perReceiver(t *testing.T) []byte {
	routes := map[string][5]string{"smash": {"hitch", "corner", "hitch", "corner", "check"},
		"four verticals": {"go", "seam", "go", "seam", "flat"}, "flood": {"go", "out", "flat", "dig", "block"},
		"stick": {"slant", "stick", "go", "flat", "check"}, "mesh": {"cross", "cross", "corner", "post", "wheel"},
		"curl-flat": {"curl", "flat", "curl", "flat", "check"}, "slant-flat": {"slant", "flat", "slant", "flat", "block"},
		"levels": {"dig", "in", "go", "post", "check"}}
	rows := [][]string{{"Opp", "Wk", "#", "Dn", "Dst", "Form", "Str", "Pers", "R/P", "X", "H", "Z", "Y", "F", "Target",
		"Yds"}}
	for i, s := range invent(141, 60) {
		r := routes[s.concept]
		if s.run {
			r = [5]string{"", "", "", "", ""}
		}
		for c := range r {
			if len(r[c]) > 4 && (i+c)%17 == 3 {
				r[c] = r[c][:1] + r[c][2:3] + r[c][1:2] + r[c][3:]
			}
		}
		rows = append(rows, []string{"Thistle", "4", fmt.Sprint(s.number), fmt.Sprint(s.down), fmt.Sprint(s.distance), s.set,
			s.strength, s.personnel, runOrPass(s)[:1], r[0], r[1], r[2], r[3], r[4],
			map[bool]string{false: "X", true: ""}[s.run], fmt.Sprint(s.gain)})
	}
	return csvText(rows, ",")
}

// TestFourthRound: each comes in whole and as it was invented, and every play with a concept
// can be drawn.
func TestFourthRound(t *testing.T) {
	for _, tc := range []struct {
		name, opponents string
		data            []byte
		snaps           map[string][]snap
	}{
		{"grouped.xlsx", "bramble 80", grouped(t), map[string][]snap{"2026-09-04": invent(111, 40),
			"2026-09-11": invent(112, 40)}},
		{"wordy.txt", "larkspur 60", wordy(t), map[string][]snap{"Week 3": invent(121, 60)}},
		{"ledger.csv", "beryl 88", ledger(t), map[string][]snap{"2026-09-05": invent(101, 44),
			"2026-09-12": invent(102, 44)}},
		{"heather.csv", "heather 55", oneText(), map[string][]snap{"heather": invent(131, 55)}},
		{"receivers.csv", "thistle 60", perReceiver(t), map[string][]snap{"week 4": invent(141, 60)}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if dir := os.Getenv("STRANGERS"); dir != "" {
				must(t, os.WriteFile(filepath.Join(dir, tc.name), tc.data, 0o644))
			}
			s, err := intake.ReadSheet(tc.name, tc.data, known(), intake.Answers{})
			must(t, err)
			defer func() {
				if t.Failed() {
					t.Log(s.Proposal.Text())
				}
			}()
			switch tc.name {
			case "ledger.csv": // its sets are words nobody knows: all but the set as invented
				coded(t, s, tc.snaps)
			case "heather.csv":
				oneTexts(t, s, tc.snaps["heather"])
			case "receivers.csv":
				perMan(t, s)
			default:
				wholly(t, s, tc.opponents, tc.snaps)
			}
		})
	}
}

// coded: the words stay words of their own, without their sides; a set is assumed for each,
// said and marked, and no pass is left without routes.
func coded(t *testing.T, s *intake.Sheet, snaps map[string][]snap) {
	t.Helper()
	for _, r := range s.Records {
		of := snaps[r.Game.Label][r.Play.Number-1]
		word := strings.Fields(codeWords(of))[0]
		if got := text(r.Play.SetName); !strings.EqualFold(got, word) {
			t.Errorf("play %d: set %s, want the word %q", r.Play.Number, got, word)
		}
		if got, want := text(r.Play.Strength), map[string]string{"L": "left", "R": "right"}[of.strength]; got != want {
			t.Errorf("play %d: strength %s, want %s", r.Play.Number, got, want)
		}
		r.Play.SetName = &of.set
		samePlay(t, &r.Play, of)
	}
	if len(s.Records) != 88 || len(s.Fresh) != 3 || s.Proposal.AssumedSets != 88 || s.Proposal.Routeless != 0 {
		t.Errorf("%d plays, new words %+v, %d sets assumed, %d without routes", len(s.Records), s.Fresh,
			s.Proposal.AssumedSets, s.Proposal.Routeless)
	}
	for _, w := range s.Proposal.Words {
		if w.Field == "set_name" && !strings.Contains(w.Why, "assumed") {
			t.Errorf("%s: %s: nothing says what is assumed", w.Word, w.Why)
		}
	}
}

// oneTexts: a call of one text is read as the columns it has in it.
func oneTexts(t *testing.T, s *intake.Sheet, snaps []snap) {
	t.Helper()
	for i, r := range s.Records {
		of, p := snaps[i], &r.Play
		want := fmt.Sprint(of.down, of.distance, of.personnel, of.set, of.concept)
		got := fmt.Sprint(whole(p.Down), whole(p.DistanceYd), text(p.Personnel), text(p.SetName), text(p.Concept))
		if got != want {
			t.Errorf("play %d: %s, want %s", i+1, got, want)
		}
	}
	if len(s.Records) != 55 || len(s.Fresh) > 0 {
		t.Errorf("%d plays, new words %+v", len(s.Records), s.Fresh)
	}
}

// perMan: every pass has the routes told, where his letter puts each man; a slip is told.
func perMan(t *testing.T, s *intake.Sheet) {
	t.Helper()
	passes, slips := 0, 0
	for _, r := range s.Records {
		if p := &r.Play; text(p.Called) == "pass" {
			if passes++; len(p.Routes) < 4 || !p.RoutesAssumed || p.Concept == nil {
				t.Errorf("row %d: %d routes, assumed %t, concept %s", r.Line, len(p.Routes), p.RoutesAssumed, text(p.Concept))
			}
		}
	}
	for _, w := range s.Proposal.Words {
		if w.Field == "route" && w.Becomes == "corrected" {
			slips++
		}
	}
	if passes != 50 || slips < 3 {
		t.Errorf("%d passes, %d slips told", passes, slips)
	}
}
