package intake

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"overhang/internal/tags"
)

// longFile is a sheet of several batches, 100 plays a game. Of the lines named, one has a down there is
// not, one a cell too many, and one is the play of another line once more, two batches behind it.
func longFile(rows int, with map[int]string) string {
	var b strings.Builder
	b.WriteString("opp,no,dn,kind,x,xd,game\n")
	for i := range rows {
		if row, ok := with[i+2]; ok {
			b.WriteString(row + "\n")
			continue
		}
		fmt.Fprintf(&b, "A,%d,1,r,,,week %d\n", i%100+1, i/100)
	}
	return b.String()
}

func longMapping(t *testing.T) *Mapping {
	return mapping(t, strings.Replace(simple, "game: {constant: w1}", "game: {column: game}", 1))
}

var longBad = map[int]string{7: "A,6,9,r,,,week 0", 5100: "A,1,1,r,,,week 51,", 12000: "A,2,1,r,,,week 0"}

// TestBatches: a file of several batches is checked as one. What is wrong is told in the order of the
// lines, a play is found twice however far apart the two are, the others come whole and in
// their order, and the bad rows can be mended and fed again.
func TestBatches(t *testing.T) {
	const rows = 3*readAtOnce + 10
	m := longMapping(t)
	file := longFile(rows, longBad)
	var said []string
	f, err := Check(t.Context(), strings.NewReader(file), m, tags.NewVocabulary(nil), func(b BadRow) {
		said = append(said, fmt.Sprint(b.Line, " ", b.Fields[0].Field, " ", b.Fields[0].Msg))
	}, func(int) {})
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"7 down 9 is not from 1 to 4", "5100 row 8 cells, the header has 7",
		"12000 number play 2 of this game is on line 3 already"}
	if fmt.Sprint(said) != fmt.Sprint(want) || fmt.Sprint(f.Bad) != "[7 5100 12000]" || f.Good != rows-3 {
		t.Errorf("said %q, bad %v, %d good; want %q and %d good", said, f.Bad, f.Good, want, rows-3)
	}
	n, line := 0, 2
	for plays, err := range f.batches(t.Context()) {
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range plays {
			for longBad[line] != "" {
				line++
			}
			if p.Number != (line-2)%100+1 {
				t.Fatalf("line %d came as play %d", line, p.Number)
			}
			n, line = n+1, line+1
		}
	}
	if n != f.Good {
		t.Errorf("%d plays, want %d", n, f.Good)
	}
	var bad strings.Builder
	if err := f.WriteBad(&bad); err != nil {
		t.Fatal(err)
	}
	rest := "opp,no,dn,kind,x,xd,game\r\nA,6,9,r,,,week 0\r\nA,1,1,r,,,week 51,\r\nA,2,1,r,,,week 0\r\n"
	if bad.String() != rest {
		t.Errorf("bad rows %q, want %q", bad.String(), rest)
	}
}

// A changing file has other text when it is read again.
type changing struct {
	*strings.Reader
	then string
}

func (c *changing) Seek(offset int64, whence int) (int64, error) {
	if c.then != "" && c.Size() != int64(c.Len()) {
		c.Reset(c.then)
	}
	return c.Reader.Seek(offset, whence)
}

// TestChangedMeanwhile: a file that is not the one that was checked is not stored, be it longer, another
// play of the same game, or a row that cannot be.
func TestChangedMeanwhile(t *testing.T) {
	file := longFile(300, nil)
	for name, then := range map[string]string{
		"longer":       file + "A,1,1,r,,,week 4\n",
		"another play": strings.Replace(file, "A,7,1", "A,8,1", 1),
		"a bad row":    strings.Replace(file, "A,7,1", "A,7,5", 1),
		"shorter":      file[:len(file)/2],
	} {
		in := &changing{Reader: strings.NewReader(file), then: then}
		f, err := Check(t.Context(), in, longMapping(t), tags.NewVocabulary(nil), func(BadRow) {}, func(int) {})
		if err != nil {
			t.Fatal(err)
		}
		var last error
		for _, err := range f.batches(t.Context()) {
			last = err
		}
		if !errors.Is(last, errChanged) {
			t.Errorf("%s: %v, want %v", name, last, errChanged)
		}
	}
}

// TestInterrupted: neither reading goes on when nobody wants it any more.
func TestInterrupted(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	file := io.ReadSeeker(strings.NewReader(longFile(3*readAtOnce, nil)))
	f, err := Check(ctx, file, longMapping(t), tags.NewVocabulary(nil), func(BadRow) {}, func(int) {})
	if err != nil {
		t.Fatal(err)
	}
	var last error
	n := 0
	for plays, err := range f.batches(ctx) {
		stop()
		n, last = n+len(plays), err
	}
	if !errors.Is(last, context.Canceled) || n > 2*readAtOnce {
		t.Errorf("%d plays and %v after an interruption", n, last)
	}
	if _, err := Check(ctx, file, longMapping(t), tags.NewVocabulary(nil), func(BadRow) {},
		func(int) {}); !errors.Is(err, context.Canceled) {
		t.Errorf("checked on: %v", err)
	}
}
