package tally

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// A league is games as they are now, beside the image that came of every edit of them.
type league struct {
	games map[int][]row
	im    *Image
}

func (l *league) rows() (out []row) {
	for g := range 40 {
		out = append(out, l.games[g]...)
	}
	return out
}

// edit gives a game other plays, none where rows is nil.
func (l *league) edit(t interface{ Fatal(...any) }, game int, rows []row) {
	b := l.im.Next()
	b.Replace(ID{0, byte(game)})
	l.games[game] = rows
	l.im = built(t, b, rows)
}

// move gives a game another opponent without its plays being read again.
func (l *league) move(t interface{ Fatal(...any) }, game int, opponent string) {
	b := l.im.Next()
	var now []row
	for _, r := range l.games[game] {
		w := map[string]string{}
		for d, v := range r.words {
			w[d] = v
		}
		w["opponent"] = opponent
		now = append(now, row{game, w})
	}
	l.games[game] = now
	if len(now) > 0 {
		b.Game(ID{0, byte(game)}, ID{opponent[1]}, words(OfGame, now[0].words))
	}
	l.im = built(t, b, nil)
}

// TestCube: whatever is edited, moved and taken away between questions, a question that comes again is
// answered the same by its cube, by the columns and by counting one play after another.
func TestCube(t *testing.T) {
	t.Parallel()
	var mu sync.Mutex
	made, kept := 0, 0 // cubes counted, and answers of cubes older than the image
	rapid.Check(t, func(t *rapid.T) {
		draw := func(n int) int { return rapid.IntRange(0, n-1).Draw(t, "") }
		chance := rand.New(rand.NewPCG(uint64(draw(1<<30)), 1)).IntN
		l := &league{games: map[int][]row{}, im: built(t, New(draw(2)), nil)}
		b := l.im.Next()
		for g := range 30 {
			l.games[g] = alike(chance, g, 80)
		}
		l.im = built(t, b, l.rows())
		for range 12 {
			game, plays := 30+draw(10), 1+draw(5)
			if draw(4) == 0 { // so many plays that cubes are counted anew
				game, plays = draw(30), 50
			}
			switch draw(5) {
			case 0, 3:
				l.edit(t, game, alike(chance, game, plays))
			case 1:
				l.edit(t, game, nil)
			case 2:
				l.move(t, game, fmt.Sprint("o", draw(5)))
			}
			by := [][]string{{"called"}, {"down", "called"}, {"opponent", "down"}, {"throw_depth"}}[draw(4)]
			filters := []map[string][]string{nil, {"down": {"3", "4"}}, {"opponent": {"o1", "o4"}},
				{"set_name": {"s1"}, "called": {"pass"}}}[draw(4)]
			want := counted(l.rows(), by, filters)
			q := l.im.question(by, filters)
			c, count := l.im.cubes.look(l.im, fmt.Sprint(q.dims()))
			mu.Lock()
			if count {
				made++
				l.im.cubes.keep(l.im, fmt.Sprint(q.dims()), l.im.cube(q.dims()))
			} else if c != nil && c.version < l.im.version {
				kept++
			}
			mu.Unlock()
			for range 2 {
				if d := gocmp.Diff(want, append([]Cell(nil), l.im.Count(by, filters)...)); d != "" {
					t.Fatalf("by %v under %v (-one by one +kept):\n%s", by, filters, d)
				}
			}
			columns := *l.im
			columns.cubes = newCubes(1 << 40)
			if d := gocmp.Diff(want, append([]Cell(nil), columns.Count(by, filters)...)); d != "" {
				t.Fatalf("by %v under %v (-one by one +columns):\n%s", by, filters, d)
			}
		}
	})
	if made == 0 || kept == 0 {
		t.Errorf("%d cubes counted, %d brought up to a later image: nothing was tried", made, kept)
	}
}

// fortyGames is a league of games that are alike, not yet in its image.
func fortyGames(t *testing.T, r *rand.Rand) *league {
	l := &league{games: map[int][]row{}, im: built(t, New(1), nil)}
	for g := range 40 {
		l.games[g] = alike(r.IntN, g, 200)
	}
	return l
}

// TestCubeKeepsUp: a cube is not counted again after an edit but brought up to it, and an answer without
// what the edit took and brought would be wrong.
func TestCubeKeepsUp(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(23, 23))
	l := fortyGames(t, r)
	l.games[3] = l.games[3][:20]
	l.im = built(t, l.im.Next(), l.rows())
	by, filters := []string{"called", "set_name"}, map[string][]string{"down": {"3"}}
	ask := func(im *Image) []Cell { return append([]Cell(nil), im.Count(by, filters)...) }
	ask(l.im)
	ask(l.im)
	before := l.im
	was := counted(l.rows(), by, filters)
	l.edit(t, 3, alike(r.IntN, 3, 30))
	q := l.im.question(by, filters)
	c, count := l.im.cubes.look(l.im, fmt.Sprint(q.dims()))
	if c == nil || count || c.version != before.version {
		t.Fatalf("the cube is %v, to be counted %v; want that of the image before", c != nil, count)
	}
	want := counted(l.rows(), by, filters)
	if d := gocmp.Diff(want, ask(l.im)); d != "" {
		t.Errorf("after an edit (-one by one +kept):\n%s", d)
	}
	if d := gocmp.Diff(was, ask(before)); d != "" {
		t.Errorf("the image before (-one by one +kept):\n%s", d)
	}
	for name, left := range map[string]change{"what it took": {plus: l.im.changes[0].plus},
		"what it brought": {minus: l.im.changes[0].minus}} {
		less := *l.im
		left.version = less.version
		less.changes = []change{left}
		if gocmp.Equal(want, ask(&less)) {
			t.Errorf("without %s the answer is the same: this test sees nothing", name)
		}
	}
}

// TestCubeOutdated: where much has changed a cube is counted again, and what changed is not kept for
// ever.
func TestCubeOutdated(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(23, 24))
	l := fortyGames(t, r)
	l.im = built(t, l.im.Next(), l.rows())
	by := []string{"called"}
	l.im.Count(by, nil)
	l.im.Count(by, nil)
	for range 20 {
		game := r.IntN(40)
		l.edit(t, game, alike(r.IntN, game, 5))
		if d := gocmp.Diff(counted(l.rows(), by, nil), append([]Cell(nil), l.im.Count(by, nil)...)); d != "" {
			t.Fatalf("(-one by one +kept):\n%s", d)
		}
		n := 0
		for _, x := range l.im.changes {
			n += x.plays()
		}
		if n > l.im.plays/changed {
			t.Fatalf("%d changed plays are kept of %d", n, l.im.plays)
		}
	}
}

// TestCubesAreBounded: cubes take no more than a part of the image, those asked for last stay, and an
// image says what they may take.
func TestCubesAreBounded(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(24, 24))
	im, _ := imageOf(t, New(1), r, 300, 100)
	var last string
	for _, d := range slices.Concat(OfGame, OfPlay) {
		for _, e := range []string{"down", "set_name", "called", "opponent"} {
			if d == e {
				continue
			}
			for range 3 {
				im.Count([]string{d, e}, nil)
			}
			last = fmt.Sprint(im.question([]string{d, e}, nil).dims())
			if n := im.cubes.bytes(); n > im.roomForCubes() {
				t.Fatalf("cubes take %d bytes of %d", n, im.roomForCubes())
			}
		}
	}
	there := im.Cubes()
	if there == 0 || there == len(im.cubes.seen) || im.cubes.seen[last].cube == nil {
		t.Errorf("%d of %d cubes are kept, the last among them: %v", there, len(im.cubes.seen),
			im.cubes.seen[last].cube != nil)
	}
	if im.Bytes() != im.bytes+im.roomForCubes() {
		t.Errorf("an image of %d bytes says %d", im.bytes, im.Bytes())
	}
}
