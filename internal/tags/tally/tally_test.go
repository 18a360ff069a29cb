package tally

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// A play in words, "" for the unknown, by all dimensions; and its game.
type row struct {
	game  int
	words map[string]string
}

// invented makes plays of games out of a source of chance: enough words that there are narrow
// and wide columns, columns of one code and unknown ones.
func invented(draw func(n int) int, games, most int) (rows []row) {
	for g := range games {
		shared := map[string]string{"opponent": fmt.Sprint("o", draw(3)), "season": "2030", "game": fmt.Sprint("g", g),
			"ours": []string{"yes", "no"}[draw(2)]}
		for range draw(most) + 1 {
			w := outcomes(draw)
			w["concept"], w["set_name"] = fmt.Sprint("c", draw(700)), fmt.Sprint("s", draw(5))
			for d, v := range shared {
				w[d] = v
			}
			rows = append(rows, row{g, w})
		}
	}
	return rows
}

// outcomes are what a play came to: a success and an explosive play follow from its gain, so
// that there are as few outcomes as a league has.
func outcomes(draw func(n int) int) map[string]string {
	w := map[string]string{"called": "pass", "result": []string{"", "complete", "incomplete", "sack", "scramble"}[draw(5)],
		"down": []string{"", "1", "2", "3", "4"}[draw(5)], "distance": strconv.Itoa(1 + draw(20)),
		"touchdown": "no", "first_down": "no"}
	if draw(3) == 0 {
		w["called"], w["result"] = "run", ""
	}
	if draw(9) > 0 {
		gain, far := draw(60)-15, draw(20)
		w["gain"], w["explosive"] = strconv.Itoa(gain), yesNo(gain > 15)
		w["first_down"], w["touchdown"] = yesNo(gain > far), yesNo(gain == 40)
		if w["down"] != "" {
			w["success"] = yesNo(2*gain > far)
		}
	}
	if draw(2) == 0 {
		w["throw_depth"], w["throw_time"] = strconv.Itoa(draw(40)-5), fmt.Sprintf("%d.%d", draw(5), draw(10))
	}
	return w
}

func yesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}

// built makes an image of rows; ranks are of the words' bytes.
func built(t interface{ Fatal(...any) }, b *Builder, rows []row) *Image {
	for i, r := range rows {
		id := ID{byte(r.game >> 8), byte(r.game)}
		if i == 0 || rows[i-1].game != r.game {
			b.Flush()
			b.Replace(id)
			b.Game(id, ID{}, words(OfGame, r.words))
		}
		if err := b.Play(id, words(OfPlay, r.words)); err != nil {
			t.Fatal(err)
		}
	}
	im, err := b.Settle()
	if err != nil {
		t.Fatal(err)
	}
	for at, ws := range im.Unranked() {
		im.Rank(at, slices.Sorted(slices.Values(ws)))
	}
	return im
}

func words(of []string, w map[string]string) (out [][]byte) {
	for _, d := range of {
		var v []byte
		if w[d] != "" {
			v = []byte(w[d])
		}
		out = append(out, v)
	}
	return out
}

// counted counts rows one by one, as the words of tags.Cell and the store's SQL say.
func counted(rows []row, by []string, filters map[string][]string) (out []Cell) {
	groups, order := map[string][]row{}, []string{}
	for _, r := range rows {
		in := true
		for d, vs := range filters {
			in = in && slices.Contains(vs, r.words[d])
		}
		if !in {
			continue
		}
		var key []string
		for _, d := range by {
			key = append(key, r.words[d])
		}
		k := strings.Join(key, "\x00")
		if groups[k] == nil {
			order = append(order, k)
		}
		groups[k] = append(groups[k], r)
	}
	slices.SortFunc(order, func(a, b string) int {
		if c := cmp.Compare(len(groups[b]), len(groups[a])); c != 0 {
			return c
		}
		return slices.CompareFunc(strings.Split(a, "\x00"), strings.Split(b, "\x00"), unknownLast)
	})
	for _, k := range order {
		c := cellOf(groups[k])
		for _, w := range strings.Split(k, "\x00") {
			if w == "" {
				c.Keys = append(c.Keys, nil)
			} else {
				c.Keys = append(c.Keys, &w)
			}
		}
		out = append(out, c)
	}
	return out
}

func unknownLast(a, b string) int {
	if (a == "") != (b == "") {
		return cmp.Compare(b, a)
	}
	return cmp.Compare(a, b)
}

func cellOf(rows []row) (c Cell) {
	var gains []int
	micro := 0
	for _, r := range rows {
		w := r.words
		n := func(to *int, is bool) {
			if is {
				*to++
			}
		}
		n(&c.Plays, true)
		n(&c.Runs, w["called"] == "run")
		n(&c.Passes, w["called"] == "pass")
		n(&c.Successes, w["success"] == "yes")
		n(&c.SuccessKnown, w["success"] != "")
		n(&c.FirstDowns, w["first_down"] == "yes")
		n(&c.Touchdowns, w["touchdown"] == "yes")
		n(&c.Explosives, w["explosive"] == "yes")
		n(&c.ExplosiveKnown, w["explosive"] != "")
		n(&c.Throws, slices.Contains([]string{"complete", "incomplete", "intercepted"}, w["result"]))
		n(&c.Completions, w["result"] == "complete")
		n(&c.Sacks, w["result"] == "sack")
		n(&c.Scrambles, w["result"] == "scramble")
		n(&c.Unsituated, w["down"] == "" || w["distance"] == "")
		if g, err := strconv.Atoi(w["gain"]); err == nil {
			gains, c.GainSum, c.GainKnown = append(gains, g), c.GainSum+g, c.GainKnown+1
		}
		if d, err := strconv.Atoi(w["throw_depth"]); err == nil {
			c.DepthSum, c.DepthKnown = c.DepthSum+d, c.DepthKnown+1
		}
		if s, err := strconv.ParseFloat(w["throw_time"], 64); err == nil {
			micro, c.TimeKnown = micro+int(s*10+.5)*100_000, c.TimeKnown+1
		}
	}
	c.TimeSum = float64(micro) / 1e6
	if slices.Sort(gains); len(gains) > 0 {
		m := float64(gains[(len(gains)-1)/2]+gains[len(gains)/2]) / 2
		c.MedianGain = &m
	}
	return c
}

// TestCount: any question of any plays has the cells, sums, medians and order of counting one
// play after another, before and after games were replaced.
func TestCount(t *testing.T) {
	t.Parallel()
	asked := []string{"down", "concept", "set_name", "called", "result", "opponent", "game", "week", "gain", "throw_depth"}
	rapid.Check(t, func(t *rapid.T) {
		draw := func(n int) int { return rapid.IntRange(0, n-1).Draw(t, "") }
		rows := invented(draw, 1+draw(4), 30)
		im := built(t, New(50_000), rows)
		if draw(2) == 0 { // the first game has other plays now
			again := invented(draw, 1, 30)
			rows = append(again, slices.DeleteFunc(rows, func(r row) bool { return r.game == 0 })...)
			im = built(t, im.Next(), again)
		}
		by := []string{asked[draw(len(asked))]}
		if d := asked[draw(len(asked))]; d != by[0] {
			by = append(by, d)
		}
		filters := map[string][]string{}
		if draw(3) > 0 {
			of := rows[draw(len(rows))].words
			d := asked[draw(len(asked))]
			filters[d] = []string{of[d], "no such"}
		}
		got, want := im.Count(by, filters), counted(rows, by, filters)
		if d := gocmp.Diff(want, append([]Cell(nil), got...)); d != "" {
			t.Fatalf("by %v under %v (-one by one +kept):\n%s", by, filters, d)
		}
		for i, n := range im.Numbers(by, filters) {
			if len(want) == 0 || n.Plays == 0 || i >= len(want) {
				t.Fatalf("numbers %v of %d cells", n, len(want))
			}
		}
	})
}

// TestCountMany: so many plays that two workers count them, in cells of which some have few
// plays and some more than there are outcomes.
func TestCountMany(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(23, 5))
	rows := invented(r.IntN, 400, 300)
	im := built(t, New(50_000), rows)
	if im.Plays() != len(rows) || im.Plays() <= manyPlays {
		t.Fatalf("%d plays of %d; want over %d", im.Plays(), len(rows), manyPlays)
	}
	for _, by := range [][]string{{"down"}, {"concept", "set_name"}, {"concept", "distance", "result", "game"}} {
		for _, filters := range []map[string][]string{nil, {"down": {"3", ""}},
			{"opponent": {"o1"}, "called": {"pass"}}} {
			if d := gocmp.Diff(counted(rows, by, filters), im.Count(by, filters)); d != "" {
				t.Errorf("by %v under %v (-one by one +kept):\n%.2000s", by, filters, d)
			}
		}
	}
}

// alike makes plays of a game that end in few ways, most of them with one word.
func alike(draw func(n int) int, game, plays int) (rows []row) {
	shared := map[string]string{"opponent": fmt.Sprint("o", draw(3)), "season": "2030", "game": fmt.Sprint("g", game),
		"ours": "no"}
	for range plays {
		w := map[string]string{"called": []string{"run", "pass"}[draw(2)], "down": strconv.Itoa(1 + draw(4)),
			"distance": "10", "gain": strconv.Itoa(2 * draw(3)), "success": "no", "explosive": "no", "touchdown": "no",
			"first_down": "no", "concept": "c0", "set_name": fmt.Sprint("s", draw(5)), "throw_depth": strconv.Itoa(draw(3))}
		if draw(10) == 0 {
			w["concept"] = fmt.Sprint("c", draw(700))
		}
		for d, v := range shared {
			w[d] = v
		}
		rows = append(rows, row{game, w})
	}
	return rows
}

// imageOf is an image of games that are alike, and their plays.
func imageOf(t *testing.T, b *Builder, r *rand.Rand, games, plays int) (*Image, []row) {
	var rows []row
	for g := range games {
		rows = append(rows, alike(r.IntN, g, plays)...)
	}
	return built(t, b, rows), rows
}

// TestCountAlike: plays that end in few ways, most of them with one word: cells go over to numbers
// by outcome, those of two workers are put together, and several filters meet in one count.
func TestCountAlike(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(5, 23))
	im, rows := imageOf(t, New(50_000), r, 500, 150)
	if im.Plays() <= manyPlays {
		t.Fatalf("%d plays; want over %d", im.Plays(), manyPlays)
	}
	for _, by := range [][]string{{"called"}, {"concept", "set_name", "game"},
		{"concept", "set_name", "throw_depth", "gain"}} {
		for _, filters := range []map[string][]string{nil, {"down": {"3", "4"}, "called": {"pass"}},
			{"concept": {"c0", "c1"}, "down": {"1", "2", "3"}, "set_name": {"s1", "s2"}},
			{"down": {"2"}, "called": {"run"}, "concept": {"no such"}}} {
			if d := gocmp.Diff(counted(rows, by, filters), append([]Cell(nil), im.Count(by, filters)...)); d != "" {
				t.Errorf("by %v under %v (-one by one +kept):\n%.2000s", by, filters, d)
			}
		}
	}
}

// TestBook: an image says how many plays and games it has, of whom each game is, how many bytes
// it takes, the more the more plays; and a game that nobody tagged is not there.
func TestBook(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(7, 7))
	small, large := built(t, New(50_000), invented(r.IntN, 3, 10)), built(t, New(50_000), invented(r.IntN, 3, 3000))
	if small.Games() != 3 || large.Games() != 3 || small.Bytes() <= 0 || large.Bytes() < 2*large.Plays() ||
		large.Bytes() <= small.Bytes() {
		t.Errorf("%d and %d games in %d and %d bytes", small.Games(), large.Games(), small.Bytes(), large.Bytes())
	}
	if _, there := small.OpponentOf(ID{9, 9}); there {
		t.Error("a game that nobody tagged has an opponent")
	}
	if o, there := small.OpponentOf(ID{0, 2}); !there || o != (ID{}) {
		t.Errorf("the third game is of %v, %v", o, there)
	}
	b := New(50_000)
	b.Game(ID{1}, ID{8}, words(OfGame, map[string]string{"game": "g"}))
	if err := b.Play(ID{1}, words(OfPlay, map[string]string{"gain": "three"})); err == nil {
		t.Error("a gain of three, in words, is kept")
	}
}

// BenchmarkCount is what a league of 300,000 plays takes, with all columns of every cell,
// beside one pass over a byte for each play and filter: the floor.
func BenchmarkCount(b *testing.B) {
	r := rand.New(rand.NewPCG(23, 300_000))
	rows := invented(r.IntN, 4000, 149)
	im := built(b, New(50_000), rows)
	codes := make([]byte, im.Plays())
	b.Logf("%d plays, %.1f MB", im.Plays(), float64(im.Bytes())/1e6)
	b.Run("floor", func(b *testing.B) {
		n := 0
		for b.Loop() {
			for _, c := range codes {
				n += int(c)
			}
		}
		if n != 0 {
			b.Fatal(n)
		}
	})
	for _, q := range []struct {
		name    string
		by      []string
		filters map[string][]string
	}{
		{"1 dimension 2 filters", []string{"set_name"},
			map[string][]string{"down": {"3"}, "distance": {"7", "8", "9", "10"}}},
		{"3 dimensions 1 filter", []string{"down", "result", "called"}, map[string][]string{"set_name": {"s1"}}},
		{"3 dimensions no filter", []string{"down", "result", "set_name"}, nil},
		{"wide words", []string{"concept"}, nil},
		{"by opponent", []string{"opponent", "down"}, nil},
	} {
		b.Run(q.name, func(b *testing.B) {
			for b.Loop() {
				im.Count(q.by, q.filters)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(im.Plays()), "ns/play")
		})
	}
}
