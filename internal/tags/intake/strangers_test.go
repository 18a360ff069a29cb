package intake_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"overhang/internal/tags/intake"
)

// Four more sheets of other hands, all invented, laid out after the importer was
// written and before it was tried on them: what did not come in by itself then was
// mended in the importer. STRANGERS=folder writes them there.

// european is a text as a spreadsheet with decimal commas saves it.
func european() []byte {
	rows := [][]string{{"Play #", "Game date", "Opponent", "Quarter", "Time left", "Down", "Distance", "Yard line", "Hash",
		"Personnel", "Formation", "Run/Pass", "Play call", "Direction", "Gain (yds)", "Result", "Coverage"}}
	for _, s := range invent(31, 70) {
		kind := map[bool]string{true: "Run", false: "Pass"}[s.run]
		rows = append(rows, []string{fmt.Sprint(s.number, ",0"), "12.09.2026", "Fjäll", fmt.Sprint(s.quarter),
			clockText(s.clock) + ":00", fmt.Sprint(s.down, ",0"), fmt.Sprint(s.distance, ",0"), signed(s.spot), s.hash,
			s.personnel, s.set, kind, s.concept, s.side, fmt.Sprint(s.gain, ",00"), s.result, s.coverage})
	}
	return csvText(rows, ";")
}

// threeTabs is a workbook with a tab of plays, of drives and of sums for each game.
func threeTabs(t *testing.T) []byte {
	f := excelize.NewFile()
	for g, week := range []string{"Wk 2", "Wk 3", "Wk 4"} {
		for _, kind := range []string{"Plays", "Drives", "Sums"} {
			_, err := f.NewSheet(week + " " + kind)
			must(t, err)
		}
		plays := week + " Plays"
		must(t, f.SetSheetRow(plays, "A1", &[]any{"Sorrel vs Yarrow", nil, nil, week}))
		must(t, f.SetSheetRow(plays, "A2", &[]any{"Drive", "Play", "Qtr", "Clock", "Dn", "Dist", "LOS", "Hash", "Group",
			"Form", "Str", "R/P", "Play Name", "Dir", "Res", "Yds", "Def Call", "Comments"}))
		for i, s := range invent(uint64(40+g), 40) {
			must(t, f.SetSheetRow(plays, fmt.Sprint("A", 3+i), &[]any{1 + i/6, 1 + i%6, s.quarter, clockText(s.clock), s.down,
				s.distance, strings.ReplaceAll(sided(s.spot), " ", ""), s.hash, s.personnel,
				map[string]string{"2x2": "Doubles", "3x1": "Trips", "2x1": "Pro"}[s.set] + " " + s.strength, nil,
				map[bool]string{true: "R", false: "P"}[s.run], strings.ToUpper(s.concept), s.side, s.result, s.gain, s.coverage,
				map[bool]string{true: "look at this"}[i%9 == 0]}))
		}
		must(t, f.SetSheetRow(week+" Drives", "A1", &[]any{"Drive", "Start", "Plays", "Yards", "End"}))
		must(t, f.SetSheetRow(week+" Drives", "A2", &[]any{1, "O25", 6, 41, "Punt"}))
		must(t, f.SetSheetRow(week+" Sums", "A1", &[]any{"Run", 18, "Pass", 22}))
	}
	must(t, f.DeleteSheet("Sheet1"))
	return book(t, f)
}

// twoLines has a header of two lines, groups merged over it, a merged quarter and
// a blank column between the groups.
func twoLines(t *testing.T) []byte {
	f := excelize.NewFile()
	const tab = "Sheet1"
	must(t, f.SetSheetRow(tab, "A1", &[]any{"Thistle offense, week 5, scouted off film"}))
	must(t, f.MergeCell(tab, "A1", "P1"))
	must(t, f.SetSheetRow(tab, "A3", &[]any{"#", "When", nil, "Situation", nil, nil, nil, nil, "Offense", nil, nil, nil,
		"Outcome", nil, "Defense"}))
	for _, span := range [][2]string{{"A3", "A4"}, {"B3", "C3"}, {"D3", "G3"}, {"I3", "L3"}, {"M3", "N3"}} {
		must(t, f.MergeCell(tab, span[0], span[1]))
	}
	must(t, f.SetSheetRow(tab, "A4", &[]any{nil, "Quarter", "Clock", "Down", "To go", "Ball on", "Hash", nil, "Personnel",
		"Set", "Type", "Concept", "Yards", "Result", "Coverage", "Side"}))
	last, first := 0, 5
	for i, s := range invent(51, 66) {
		row := 5 + i
		var quarter any
		if s.quarter != last {
			if last != 0 && row-1 > first {
				must(t, f.MergeCell(tab, fmt.Sprint("B", first), fmt.Sprint("B", row-1)))
			}
			quarter, last, first = fmt.Sprint("Q", s.quarter), s.quarter, row
		}
		must(t, f.SetSheetRow(tab, fmt.Sprint("A", row), &[]any{s.number, quarter, clockText(s.clock), s.down, s.distance,
			sided(s.spot), s.hash, nil, s.personnel + "p", s.set, map[bool]string{true: "run", false: "pass"}[s.run],
			s.concept, s.gain, s.result, s.coverage, s.side}))
	}
	return book(t, f)
}

// short has heads of few letters and a slash in them, and plays in capitals.
func short() []byte {
	rows := [][]string{{"Opp", "Wk", "Pl", "Qtr", "D&D", "Yd Ln", "Hash L/M/R", "Pers", "Form", "PT R/P", "Conc",
		"Dir L/R", "Res", "Gn/Ls", "Cov"}}
	for _, s := range invent(61, 80) {
		kind := map[bool]string{true: "R", false: "P"}[s.run]
		rows = append(rows, []string{"NETTLE", "6", fmt.Sprint(s.number), fmt.Sprint(s.quarter),
			fmt.Sprintf("%d&%d", s.down, s.distance), signed(s.spot), s.hash, s.personnel, strings.ToUpper(s.set), kind,
			strings.ToUpper(s.concept), s.side, map[string]string{"run": "R", "complete": "C", "incomplete": "I",
				"sack": "SK", "interception": "INT"}[s.result], fmt.Sprintf("%+d", s.gain), strings.ToUpper(s.coverage)})
	}
	return csvText(rows, ",")
}

func book(t *testing.T, f *excelize.File) []byte {
	var b bytes.Buffer
	must(t, f.Write(&b))
	return b.Bytes()
}

// TestStrangers: each comes in whole and as it was invented, nothing said but
// what is so.
func TestStrangers(t *testing.T) {
	for _, tc := range []struct {
		name, opponents string
		data            []byte
		snaps           map[string][]snap
	}{
		{"season export.csv", "fjall 70", european(), map[string][]snap{"2026-09-12": invent(31, 70)}},
		{"tabs.xlsx", "sorrel 120", threeTabs(t), map[string][]snap{"week 2": invent(40, 40), "week 3": invent(41, 40),
			"week 4": invent(42, 40)}},
		{"lines.xlsx", "thistle 66", twoLines(t), map[string][]snap{"week 5": invent(51, 66)}},
		{"short.csv", "nettle 80", short(), map[string][]snap{"week 6": invent(61, 80)}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if dir := os.Getenv("STRANGERS"); dir != "" {
				must(t, os.WriteFile(filepath.Join(dir, tc.name), tc.data, 0o644))
			}
			s, err := intake.ReadSheet(tc.name, tc.data, known(), intake.Answers{})
			must(t, err)
			wholly(t, s, tc.opponents, tc.snaps)
		})
	}
}
