package intake_test

import (
	"testing"

	"overhang/internal/tags/intake"
)

// A slip in a sheet of three rows is a slip, as in one of three hundred: one number
// written twice is refused with its row; a down of 0 on a pass is told.
func TestSlipsOfAShortSheet(t *testing.T) {
	t.Parallel()
	sheet := "Play,Opponent,Down,Distance,Run/Pass,Gain\n1,Yarrow,1,10,R,4\n2,Yarrow,0,6,P,3\n2,Yarrow,3,3,P,0\n"
	s, err := intake.ReadSheet("slips.csv", []byte(sheet), known(), intake.Answers{})
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Records) != 2 || len(s.Bad) != 1 || s.Bad[0].Fields[0].Field != "number" {
		t.Errorf("read %d plays, refused %+v", len(s.Records), s.Bad)
	}
	told := false
	for _, p := range s.Proposal.Problems {
		told = told || p.Field == "down" && p.Severity == "notice" && len(p.Rows) == 1 && p.Rows[0] == 3
	}
	if !told {
		t.Errorf("nobody told of the down of 0: %+v", s.Proposal.Problems)
	}
}

// A number written twice is named though the first row of it is refused for something else.
func TestNumberOfARefusedRow(t *testing.T) {
	t.Parallel()
	sheet := "Play,Opponent,Down,Distance,Run/Pass,Gain\n1,Yarrow,1,10,R,4\n2,Yarrow,8,6,P,3\n2,Yarrow,3,3,P,0\n"
	s, err := intake.ReadSheet("slips.csv", []byte(sheet), known(), intake.Answers{})
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Bad) != 2 || s.Bad[1].Fields[0].Field != "number" {
		t.Errorf("refused %+v, want the down of row 3 and the number of row 4", s.Bad)
	}
}
