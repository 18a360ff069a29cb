package intake_test

import (
	"bytes"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

var update = flag.Bool("update", false, "write the test sheets again")

// The sheets of testdata/sheets were laid out before the importer that reads
// them was written, the way three different assistants might keep a week:
// everything in them is invented, and no names of people or places occur.
//
//	one-header.csv   one header line, signed yard lines, single letters
//	two-tabs.xlsx    a title, a header of two lines, a tab a game, totals
//	merged.xlsx      opponent and date merged downward, a few typos
//	mistakes.csv     one-header.csv with the mistakes of [mistakes] put in

// snap is one play as it was called, before anybody wrote it down.
type snap struct {
	number, quarter, clock, down, distance int
	spot                                   int // yards to the goal line attacked
	hash, personnel, set, strength         string
	run                                    bool
	concept, side, result                  string
	gain                                   int
	coverage                               string
}

// invent makes n plays of drives that add up; the same seed, the same plays.
func invent(seed uint64, n int) []snap {
	r := rand.New(rand.NewPCG(seed, 7))
	pick := func(words ...string) string { return words[r.IntN(len(words))] }
	passes := []string{"smash", "four verticals", "flood", "stick", "mesh", "curl-flat", "slant-flat", "levels"}
	runs := []string{"inside zone", "outside zone", "power", "counter"}
	out := make([]snap, 0, n)
	quarter, clock, down, distance, spot := 1, 720, 1, 10, 75
	for i := range n {
		s := snap{number: i + 1, quarter: quarter, clock: clock, down: down, distance: distance, spot: spot,
			hash: pick("L", "M", "R"), personnel: pick("11", "11", "11", "12", "10"),
			set: pick("2x2", "2x2", "3x1", "3x1", "2x1"), strength: pick("L", "R"),
			side: pick("L", "R"), coverage: pick("cover 3", "cover 3", "quarters", "cover 1", "cover 2")}
		s.run = r.IntN(100) < 45 && distance < 9
		if s.run {
			s.concept, s.result, s.gain = pick(runs...), "run", r.IntN(10)-2
		} else {
			s.concept, s.result, s.gain = pick(passes...), "complete", 3+r.IntN(14)
			switch x := r.IntN(100); {
			case x < 36:
				s.result, s.gain = "incomplete", 0
			case x < 42:
				s.result, s.gain = "sack", -(3 + r.IntN(6))
			case x < 45:
				s.result, s.gain = "interception", 0
			}
		}
		s.gain = min(s.gain, spot)
		out = append(out, s)
		clock -= 22 + r.IntN(18)
		if clock < 0 {
			quarter, clock = min(quarter+1, 4), 720
		}
		down, distance, spot = next(s, r.IntN(40)+45)
	}
	return out
}

// next is the situation after a snap; fresh is where the next drive starts.
func next(s snap, fresh int) (down, distance, spot int) {
	spot = s.spot - s.gain
	switch {
	case s.result == "interception", spot <= 0, spot >= 100:
		return 1, 10, fresh
	case s.gain >= s.distance:
		return 1, min(10, spot), spot
	case s.down == 4:
		return 1, 10, fresh
	}
	return s.down + 1, s.distance - s.gain, spot
}

// signed writes a spot the way many sheets do: minus on the offense's own
// half, plus on the opponent's (common practice, no source).
func signed(spot int) string {
	switch {
	case spot > 50:
		return fmt.Sprint(-(100 - spot))
	case spot == 50:
		return "50"
	}
	return fmt.Sprintf("+%d", spot)
}

// sided writes a spot with the half in words.
func sided(spot int) string {
	if spot > 50 {
		return fmt.Sprintf("own %d", 100-spot)
	}
	return fmt.Sprintf("opp %d", spot)
}

// upper is a word the way a hurried typist writes it: with a capital.
func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// clockText is time left in a quarter, as 8:41.
func clockText(s int) string { return fmt.Sprintf("%d:%02d", s/60, s%60) }

// oneHeader lays out the first sheet, a comma-separated text.
func oneHeader() [][]string {
	rows := [][]string{{"Snap", "Opponent", "Date", "Qtr", "Clock", "Down", "To go", "Ball on", "Hash", "Personnel",
		"Formation", "Strength", "R/P", "Concept", "Side", "Result", "Gain", "Coverage"}}
	letter := map[bool]string{true: "R", false: "P"}
	for _, s := range invent(1, 90) {
		rows = append(rows, []string{fmt.Sprint(s.number), "Bracken", "9/12/2026", fmt.Sprint(s.quarter), clockText(s.clock),
			fmt.Sprint(s.down), fmt.Sprint(s.distance), signed(s.spot), s.hash, s.personnel, s.set, s.strength,
			letter[s.run], s.concept, s.side, s.result, fmt.Sprintf("%+d", s.gain), s.coverage})
	}
	return rows
}

// twoTabs lays out the second sheet: a title, a blank line, a header of two
// lines whose upper one is merged over groups, one tab a game, and totals.
func twoTabs(t *testing.T) *excelize.File {
	f := excelize.NewFile()
	must(t, f.SetSheetName("Sheet1", "Notes"))
	must(t, f.SetSheetRow("Notes", "A1", &[]any{"Sedge: what to look at this week"}))
	must(t, f.SetSheetRow("Notes", "A2", &[]any{"They like to throw after a sack"}))
	for i, tab := range []string{"Game 1", "Game 2"} {
		_, err := f.NewSheet(tab)
		must(t, err)
		date := []string{"Sep 5, 2026", "Sep 19, 2026"}[i]
		must(t, f.SetSheetRow(tab, "A1", &[]any{"Opponent: Sedge"}))
		must(t, f.SetSheetRow(tab, "A2", &[]any{"Date: " + date}))
		must(t, f.SetSheetRow(tab, "A4", &[]any{"Situation", "", "", "", "", "Offense", "", "", "Play", "", "", "Result", "",
			""}))
		for _, span := range []string{"A4:E4", "F4:H4", "I4:K4", "L4:N4"} {
			a, b, _ := strings.Cut(span, ":")
			must(t, f.MergeCell(tab, a, b))
		}
		must(t, f.SetSheetRow(tab, "A5", &[]any{"No.", "Quarter", "D & D", "Yard line", "Hash", "Personnel", "Set",
			"Strong side",
			"Run or pass", "Concept", "Direction", "What happened", "Yards", "Their coverage"}))
		twoTabRows(t, f, tab, invent(uint64(10+i), 60))
	}
	return f
}

func twoTabRows(t *testing.T, f *excelize.File, tab string, snaps []snap) {
	kind := map[bool]string{true: "Run", false: "Pass"}
	sides := map[string]string{"L": "Left", "R": "Right", "M": "Middle"}
	ordinal := []string{"", "1st", "2nd", "3rd", "4th"}
	runs, sum := 0, 0
	for i, s := range snaps {
		must(t, f.SetSheetRow(tab, fmt.Sprintf("A%d", 6+i), &[]any{s.number, s.quarter,
			fmt.Sprintf("%s & %d", ordinal[s.down], s.distance), sided(s.spot), sides[s.hash], s.personnel + " pers",
			map[string]string{"2x2": "Doubles", "3x1": "Trips", "2x1": "Pro"}[s.set], sides[s.strength], kind[s.run],
			upper(s.concept), sides[s.side],
			upper(s.result), s.gain, upper(s.coverage)}))
		if s.run {
			runs++
		}
		sum += s.gain
	}
	n := len(snaps)
	must(t, f.SetSheetRow(tab, fmt.Sprintf("A%d", 7+n), &[]any{"Total", n, "", "", "", "", "", "", "", "", "", "", sum}))
	must(t, f.SetSheetRow(tab, fmt.Sprintf("A%d", 8+n), &[]any{"Runs", runs}))
	must(t, f.SetSheetRow(tab, fmt.Sprintf("A%d", 9+n), &[]any{"Passes", n - runs}))
}

// merged lays out the third sheet: opponent and date stand once, merged down
// over their game; some words are misspelled the way fingers do.
func merged(t *testing.T) *excelize.File {
	f := excelize.NewFile()
	must(t, f.SetSheetName("Sheet1", "Film"))
	must(t, f.SetSheetRow("Film", "A1", &[]any{"Team", "Game date", "#", "Q", "Time", "Dn", "Dist", "Field pos", "Hash",
		"Pers",
		"Set", "Type", "Play", "To side", "Gain", "Outcome", "Shell"}))
	row := 2
	for g, team := range []string{"Hawthorn", "Tansy"} {
		snaps := invent(uint64(20+g), 45)
		first := row
		for i, s := range snaps {
			must(t, f.SetSheetRow("Film", fmt.Sprintf("A%d", row), &[]any{nil, nil, s.number, s.quarter, clockText(s.clock),
				s.down,
				s.distance, strings.ToUpper(sided(s.spot)), strings.ToLower(s.hash), s.personnel, s.set,
				map[bool]string{true: "run", false: "pass"}[s.run],
				misspelled(s.concept, g, i), s.side, s.gain, s.result, s.coverage}))
			row++
		}
		must(t, f.SetCellStr("Film", fmt.Sprintf("A%d", first), team))
		must(t, f.SetCellStr("Film", fmt.Sprintf("B%d", first), []string{"2026-09-11", "2026-09-18"}[g]))
		must(t, f.MergeCell("Film", fmt.Sprintf("A%d", first), fmt.Sprintf("A%d", row-1)))
		must(t, f.MergeCell("Film", fmt.Sprintf("B%d", first), fmt.Sprintf("B%d", row-1)))
	}
	return f
}

// misspelled swaps or drops a letter of one play's word in fifteen.
func misspelled(word string, game, i int) string {
	if (i+game)%15 != 4 {
		return word
	}
	if i%2 == 0 {
		return word[:1] + word[2:3] + word[1:2] + word[3:]
	}
	return word[:3] + word[4:]
}

// mistake is one thing wrong in mistakes.csv: the row as a spreadsheet
// numbers it, the column's head, what is written there.
type mistake struct {
	row         int
	head, text  string
	mustMention string // what a message about it has to say, beside row and cell
}

// mistakes are twenty of the kinds that sheets really have (common practice,
// no source), each in a row of its own.
var mistakes = []mistake{
	{row: 3, head: "Down", text: "5", mustMention: "5"},
	{row: 5, head: "Down", text: "frist", mustMention: "frist"},
	{row: 7, head: "To go", text: "0", mustMention: "0"},
	{row: 9, head: "To go", text: "ten", mustMention: "ten"},
	{row: 11, head: "Ball on", text: "37", mustMention: "37"},
	{row: 13, head: "Ball on", text: "-62", mustMention: "-62"},
	{row: 15, head: "Qtr", text: "7", mustMention: "7"},
	{row: 17, head: "Clock", text: "8:71", mustMention: "8:71"},
	{row: 19, head: "Hash", text: "X", mustMention: "X"},
	{row: 21, head: "Personnel", text: "99", mustMention: "99"},
	{row: 23, head: "R/P", text: "Q", mustMention: "Q"},
	{row: 25, head: "Side", text: "up", mustMention: "up"},
	{row: 27, head: "Gain", text: "+3x", mustMention: "+3x"},
	{row: 29, head: "Gain", text: "140", mustMention: "140"},
	{row: 31, head: "Date", text: "9/31/2026", mustMention: "9/31/2026"},
	{row: 33, head: "Concept", text: "smahs", mustMention: "smash"},
	{row: 35, head: "Coverage", text: "cuver 3", mustMention: "cover 3"},
	{row: 37, head: "Opponent", text: "Braken", mustMention: "Bracken"},
	{row: 39, head: "Result", text: "compleet", mustMention: "complete"},
	{row: 41, head: "Formation", text: "2xx2", mustMention: "2x2"},
}

// withMistakes puts them in.
func withMistakes(rows [][]string) [][]string {
	for _, m := range mistakes {
		for c, head := range rows[0] {
			if head == m.head {
				rows[m.row-1][c] = m.text
			}
		}
	}
	return rows
}

// csvText joins cells with sep; no cell of ours needs quotes.
func csvText(rows [][]string, sep string) []byte {
	var b bytes.Buffer
	for _, row := range rows {
		b.WriteString(strings.Join(row, sep) + "\r\n")
	}
	return b.Bytes()
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// TestSheetsAreWritten keeps the files and their makers together.
func TestSheetsAreWritten(t *testing.T) {
	dir := filepath.Join("testdata", "sheets")
	for name, want := range map[string][]byte{"one-header.csv": csvText(oneHeader(), ","),
		"mistakes.csv": csvText(withMistakes(oneHeader()), ",")} {
		path := filepath.Join(dir, name)
		if *update {
			must(t, os.WriteFile(path, want, 0o644))
		}
		got, err := os.ReadFile(path)
		must(t, err)
		if !bytes.Equal(got, want) {
			t.Errorf("%s is not what its maker makes; -update writes it", path)
		}
	}
	if *update {
		must(t, twoTabs(t).SaveAs(filepath.Join(dir, "two-tabs.xlsx")))
		must(t, merged(t).SaveAs(filepath.Join(dir, "merged.xlsx")))
	}
}
