package intake_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"overhang/internal/tags/intake"
)

// Three sheets of a third round, all invented, laid out by somebody who had not read the
// importer. What did not come in by itself ("4 Verts", "Inc" for a gain, whether there was
// motion and not which, a set under "Receivers", an opponent to be told from the week's) was
// mended in it.

// abroad is a club's text with lines above the heads and a sum below.
func abroad(t *testing.T) []byte {
	rows := [][]string{{"Von der Höhe, 13.09.2026"}, {"", "", ""}, {"No.", "Quarter", "Time", "Dn", "To go", "Ball on",
		"Hash", "Personnel", "Formation", "Run/Pass", "Play call", "Direction", "Yards gained", "Outcome",
		"Coverage faced"}}
	for _, s := range invent(71, 62) {
		rows = append(rows, []string{fmt.Sprint(s.number), fmt.Sprint("Q", s.quarter), clockText(s.clock),
			fmt.Sprint(s.down), fmt.Sprint(s.distance), sided(s.spot),
			map[string]string{"L": "Left", "M": "Middle", "R": "Right"}[s.hash], s.personnel,
			doubles(s) + map[string]string{"L": " Lt", "R": " Rt"}[s.strength], runOrPass(s), shortly(s.concept), s.side,
			fmt.Sprint(s.gain), upper(s.result), s.coverage})
	}
	rows = append(rows, []string{"", "", "", "", "", "", "", "", "", "", "", "Total", "62"})
	out, err := charmap.ISO8859_1.NewEncoder().Bytes(csvText(rows, ";"))
	must(t, err)
	return out
}

func doubles(s snap) string {
	return map[string]string{"2x2": "Doubles", "3x1": "Trips", "2x1": "Pro"}[s.set]
}

func runOrPass(s snap) string { return map[bool]string{true: "Run", false: "Pass"}[s.run] }

// shortly is how a concept is said aloud.
func shortly(concept string) string {
	return map[string]string{"four verticals": "4 Verts", "inside zone": "IZ", "outside zone": "OZ"}[concept] +
		map[bool]string{true: upper(concept)}[!strings.Contains("four verticals inside zone outside zone", concept)]
}

// byWeek is a workbook with a tab a game named for it, the offense in the title, drives as
// lines between the plays, down and distance in one cell, and a word for the gain of a pass
// that is not caught.
func byWeek(t *testing.T) []byte {
	f := excelize.NewFile()
	for g, tab := range []string{"Wk 3 at Yarrow", "Wk 5 vs Tansy"} {
		_, err := f.NewSheet(tab)
		must(t, err)
		must(t, f.SetSheetRow(tab, "A1", &[]any{"SORREL OFFENSE - " + strings.ToUpper(tab)}))
		must(t, f.SetSheetRow(tab, "A2", &[]any{"Date:", []string{"9/18/2026", "10/2/2026"}[g]}))
		must(t, f.SetSheetRow(tab, "A4", &[]any{"#", "QTR", "D&D", "Field Pos.", "Hash", "Pers.", "Off. Form", "Str",
			"Play Type", "Concept", "Play Dir", "G/L", "Res", "Cov"}))
		row := 5
		for i, s := range invent(uint64(80+g), 48) {
			if i%7 == 0 {
				must(t, f.SetSheetRow(tab, fmt.Sprint("A", row), &[]any{fmt.Sprint("DRIVE ", 1+i/7)}))
				row++
			}
			var gain any = s.gain
			if s.result == "incomplete" {
				gain = "Inc"
			}
			must(t, f.SetSheetRow(tab, fmt.Sprint("A", row), &[]any{s.number, s.quarter,
				fmt.Sprintf("%d & %d", s.down, s.distance), signed(s.spot), s.hash, s.personnel, doubles(s), s.strength,
				runOrPass(s)[:1], shortly(s.concept), s.side, gain,
				map[bool]string{false: upper(s.result)}[s.result == "incomplete"], s.coverage}))
			row++
		}
		must(t, f.SetSheetRow(tab, fmt.Sprint("A", row+1), &[]any{"Runs", 21}))
	}
	must(t, f.SetSheetRow("Sheet1", "A1", &[]any{"No.", "Pos"}))
	return book(t, f)
}

// halves has the half of the field in a column of its own, once by the teams' names, and
// says that somebody went in motion, not how.
func halves(t *testing.T) []byte {
	rows := [][]string{{"Opponent", "Against", "Game date", "Play", "Qtr", "Down", "Distance", "Territory", "Yard line",
		"Hash",
		"Personnel", "Receivers", "R/P", "Concept", "Play side", "Result (yds)", "Outcome", "Cov", "Motion?"}}
	for i, s := range invent(91, 80) {
		name := map[bool]string{true: "Larkspur"}[i == 0]
		half, line := map[bool]string{true: "Own", false: "Lark."}[i%2 == 0], 100-s.spot
		if s.spot <= 50 {
			half, line = map[bool]string{true: "Opp", false: "BT"}[i%2 == 0], s.spot
		}
		rows = append(rows, []string{name, map[bool]string{true: "Blue Thistle"}[i == 0],
			map[bool]string{true: "Oct 9 2026"}[i == 0], fmt.Sprint(s.number), fmt.Sprint(s.quarter), fmt.Sprint(s.down),
			fmt.Sprint(s.distance), half, fmt.Sprint(line), s.hash, s.personnel, s.set, strings.ToLower(runOrPass(s)), s.concept,
			s.side, fmt.Sprint(s.gain), s.result, s.coverage, map[bool]string{true: "Y", false: "N"}[i%3 == 0]})
	}
	out, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().Bytes(csvText(rows, "\t"))
	must(t, err)
	return out
}

// TestThirdRound: each comes in whole and as it was invented.
func TestThirdRound(t *testing.T) {
	for _, tc := range []struct {
		name, opponents string
		data            []byte
		snaps           map[string][]snap
	}{
		{"club.csv", "club 62", abroad(t), map[string][]snap{"2026-09-13": invent(71, 62)}},
		{"weeks.xlsx", "sorrel 96", byWeek(t), map[string][]snap{"2026-09-18": invent(80, 48), "2026-10-02": invent(81, 48)}},
		{"halves.txt", "larkspur 80", halves(t), map[string][]snap{"2026-10-09": invent(91, 80)}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s, err := intake.ReadSheet(tc.name, tc.data, known(), intake.Answers{})
			must(t, err)
			wholly(t, s, tc.opponents, tc.snaps)
			for _, w := range s.Proposal.Words {
				if w.Field == "motion" && (w.Becomes != "left_empty" || w.Word != "Y") {
					t.Errorf("motion %q: %s, %s; want that the tag stays empty", w.Word, w.Becomes, w.Why)
				}
			}
		})
	}
}

// wholly holds every play of a sheet against what was invented, with nothing refused and no
// word made.
func wholly(t *testing.T, s *intake.Sheet, want string, snaps map[string][]snap) {
	t.Helper()
	var opponents []string
	for _, o := range s.Proposal.Opponents {
		opponents = append(opponents, fmt.Sprint(o.Code, " ", o.Plays))
	}
	if got := strings.Join(opponents, ", "); got != want || len(s.Bad) > 0 {
		t.Fatalf("opponents %s, %d bad rows; want %s and none\n%s", got, len(s.Bad), want, s.Proposal.Text())
	}
	for _, r := range s.Records {
		if of := snaps[r.Game.Label]; r.Play.Number > len(of) {
			t.Fatalf("play %d of game %q was never invented", r.Play.Number, r.Game.Label)
		} else {
			samePlay(t, &r.Play, of[r.Play.Number-1])
		}
	}
	if len(s.Fresh) > 0 {
		t.Errorf("new words %+v; want none", s.Fresh)
	}
	if t.Failed() {
		t.Log(s.Proposal.Text())
	}
}

// TestGainAndSpot: a gain with what came of it, a yard line by a team's name.
func TestGainAndSpot(t *testing.T) {
	sheet := "Opponent,Against,Down,Distance,Ball on,R/P,Gain\n" +
		"Blue Sorrel,Tansy,1,10,BS 20,P,Inc\nBlue Sorrel,Tansy,2,10,Tan 45,P,45 TD\nBlue Sorrel,Tansy,1,10,XY 20,R,no gain\n"
	s, err := intake.ReadSheet("a.csv", []byte(sheet), known(), intake.Answers{})
	must(t, err)
	if len(s.Records) != 3 {
		t.Fatal(s.Proposal.Text())
	}
	for i, want := range []string{"80 0 incomplete false", "45 45 complete true", "-1000 0 (empty) false"} {
		p := &s.Records[i].Play
		if got := fmt.Sprint(whole(p.YardsToGoal), " ", whole(p.GainYd), " ", text(p.Result), " ", p.Touchdown); got != want {
			t.Errorf("row %d: %s, want %s", i+2, got, want)
		}
	}
	if said := s.Proposal.Said(); !strings.Contains(said, `E4`) || !strings.Contains(said, "neither team") {
		t.Errorf("of a third team's name: %s", said)
	}
}
