package intake_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"overhang/internal/tags/intake"
)

// Twenty mistakes in each of three sheets of the fourth round, head=text, one in every second
// row (kinds of mistakes: common practice, no source).
var fourthMistakes = map[string]string{
	"ledger.csv": "Down=6 Down=scond Dist.=0 Dist.=abc Ball=-72 Ball=38 Hash=Q Qtr=9 Time_Left=7:95 Grp=88 R_or_P=K " +
		"Call=Smsah Call=Four_vertcals To=up Gained=7x Gained=155 How_it_ended=complte Their_D=Covr_3 Game=31.09.2026 " +
		"Play_No=x4",
	"wordy.txt": "Down=fith Down=7 Yards_to_go=zero Yards_to_go=lots Field_position=own_77 Field_position=nowhere " +
		"Hash_mark=upper_hash Period=ninth_quarter Personnel_group=ninety-nine Personnel_group=many Run_or_pass=kik " +
		"Concept_name=smsh Concept_name=four_vertcals Direction_of_play=to_the_sky Outcome=cauhgt Yardage=gain_of_x " +
		"Yardage=gain_of_150 Defensive_coverage=covr_three Receiver_set=tow_by_two Strong_side=upward",
	"receivers.csv": "Dn=5 Dn=z Dst=0 Dst=ten Wk=x Str=X Pers=77 R/P=Q X=sltan X=zzzz H=crnoer Z=hich Y=sem F=flta " +
		"Yds=1a Yds=133 Form=2y2 Form=3xx1 Opp=Thisle #=3",
}

func TestFourthMistakes(t *testing.T) {
	for _, tc := range []struct {
		name, sep string
		data      []byte
		in        encoding.Encoding
		head      int // lines above the heads
	}{
		{"ledger.csv", ";", ledger(t), charmap.ISO8859_1, 2},
		{"wordy.txt", "\t", wordy(t), unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), 0},
		{"receivers.csv", ",", perReceiver(t), encoding.Nop, 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			plain, err := tc.in.NewDecoder().Bytes(tc.data)
			must(t, err)
			var rows [][]string
			for _, line := range strings.Split(strings.TrimSpace(string(plain)), "\r\n") {
				rows = append(rows, strings.Split(line, tc.sep))
			}
			cells := map[string]string{}
			for i, m := range strings.Fields(fourthMistakes[tc.name]) {
				head, text, _ := strings.Cut(strings.ReplaceAll(m, "_", " "), "=")
				row, col := tc.head+2+2*i, slices.Index(rows[tc.head], head)
				rows[row][col] = text
				cells[fmt.Sprintf("%c%d", 'A'+col, row+1)] = text
			}
			data, err := tc.in.NewEncoder().Bytes(csvText(rows, tc.sep))
			must(t, err)
			s, err := intake.ReadSheet(tc.name, data, known(), intake.Answers{})
			must(t, err)
			namedOnce(t, s.Proposal.Said(), cells)
		})
	}
}

func namedOnce(t *testing.T, said string, cells map[string]string) {
	t.Helper()
	for cell, text := range cells {
		n, at := 0, regexp.MustCompile(`\b`+cell+`\b`)
		for _, line := range strings.Split(said, "\n") {
			if at.MatchString(line) {
				n++
			}
		}
		if n != 1 {
			t.Errorf("%s (%q): named %d times, want once\n%s", cell, text, n, said)
		}
	}
	if len(cells) != 20 {
		t.Errorf("%d mistakes put in, want 20", len(cells))
	}
}
