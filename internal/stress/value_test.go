package stress

import (
	"encoding/csv"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

var valueDir = flag.String("value", "../../../shared/data/value", "folder of the value tables")

// valueTable reads a table of the value folder by column; nil where it is not there.
func valueTable(t *testing.T, name string) (out []map[string]string) {
	t.Helper()
	for _, dir := range []string{*valueDir, filepath.Join("..", *valueDir), filepath.Join("..", "..", *valueDir)} {
		f, err := os.Open(filepath.Join(dir, name))
		if err != nil {
			continue
		}
		defer f.Close()
		r := csv.NewReader(f)
		r.Comment = '#'
		rows, err := r.ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range rows[1:] {
			m := map[string]string{}
			for i, h := range rows[0] {
				m[h] = row[i]
			}
			out = append(out, m)
		}
		return out
	}
	return nil
}

func figure(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

// A mean adds up weighted values.
type mean struct{ sum, weight float64 }

func (m *mean) add(x, w float64) { m.sum, m.weight = m.sum+w*x, m.weight+w }
func (m mean) of() float64       { return m.sum / m.weight }

// A sample is one concept against one call that a charted word stands for.
type sample struct {
	word    string
	concept int
	family  string
	weight  float64
	rushers int
	press   float64
	throws  []Throw
	thrown  map[ToGain]*Outcome // by what the down asks for; of throws only, sacks and scrambles left out
	outcome *Outcome            // on first and ten, of all dropbacks
	men     [][]motion.Arrival  // of throws
	runs    [][longest + 1]float64
}

// needs of the situations of the tables: down, distance and the yards of a success.
var faced = []struct {
	name, down, band string
	sit              ToGain
}{
	{"1st 7-10", "1", "7-10", ToGain{4, 1, 10, 55}}, {"2nd 1-3", "2", "1-3", ToGain{2, 2, 2, 50}}, {"2nd 4-6", "2", "4-6",
		ToGain{3, 2, 5, 52}},
	{"2nd 7-10", "2", "7-10", ToGain{5, 2, 8, 55}}, {"2nd 11+", "2", "11+", ToGain{9, 2, 14, 58}}, {"3rd 1-3", "3", "1-3",
		ToGain{2, 3, 2, 50}},
	{"3rd 4-6", "3", "4-6", ToGain{5, 3, 5, 52}}, {"3rd 7-10", "3", "7-10", ToGain{8, 3, 8, 55}}, {"3rd 11+", "3", "11+",
		ToGain{14, 3, 14, 60}},
}

// samples plays the library against what the charted words stand for, at professional
// level, with the weights of the package documentation.
func samples(t *testing.T) (out []sample) {
	t.Helper()
	params := motion.Defaults(field.Pro)
	tuneParams(&params)
	entries, alike := picture.Library(), map[float64]float64{}
	for _, e := range entries {
		alike[charted.family[e.Family]]++
	}
	var ev Evaluator
	for n, pl := range libraryPlays(t, &params) {
		share := charted.family[entries[n].Family]
		if share == 0 {
			continue
		}
		for word, parts := range charted.calls {
			for _, part := range parts {
				for _, balance := range []int{1, -1} {
					s := Usual
					s.Balance = balance
					compiled := part.plan(t)
					x := sampleOf(must(ev.Evaluate(t.Context(), compiled, pl, s)), sample{word: word, concept: n,
						family: entries[n].Family, weight: share / alike[share] * part.weight / 2})
					for _, f := range faced {
						s.ToGain = f.sit // they know the down
						r := must(ev.Evaluate(t.Context(), compiled, pl, s))
						x.thrown[f.sit] = r.thrownAt(r.best(), x.press, 1)
					}
					out = append(out, x)
				}
			}
		}
	}
	return out
}

func sampleOf(r *Result, s sample) sample {
	s.press, s.thrown = r.Pressure(), map[ToGain]*Outcome{}
	for j := range r.Rep.Setup.Men {
		if motion.Rushes(&r.Rep.Setup.Men[j]) {
			s.rushers++
		}
	}
	s.throws = append([]Throw{}, r.Throws...)
	for n, x := range hurried(s.throws, s.press) {
		s.throws[n].Share = x
	}
	sum := 0.0
	for n := range s.throws {
		sum += s.throws[n].Share
	}
	for n := range s.throws {
		s.throws[n].Share /= sum
		men := r.Rep.Arrivals(s.throws[n].Receiver, s.throws[n].K)
		s.men, s.runs = append(s.men, men), append(s.runs, r.afterCatch(&s.throws[n], men))
	}
	s.outcome = r.Outcome()
	return s
}

func (s *sample) on(k int) Value { return s.thrown[faced[k].sit].On(faced[k].sit, &Usual) }

// TestTradeValue prints what calls give up beside what a season's tables have.
func TestTradeValue(t *testing.T) {
	effects := valueTable(t, "coverage_effects.csv")
	if effects == nil {
		t.Skip("no value tables")
	}
	all := samples(t)
	throwsOf := map[string]float64{}
	for _, r := range effects {
		throwsOf[r["name"]] = figure(r["throws"])
	}
	coverageLines(t, all, effects, throwsOf)
	byDown(t, all, throwsOf)
	withinSituation(t, all)
	spreadLines(t, all, throwsOf)
	afterCatchLine(t, all)
	interceptionLine(t, all, throwsOf)
	rushLine(t, all)
}

// explode counts gains of twenty and more.
func explode(o *Outcome) (p float64) {
	for i := fewest + 20; i < len(o.Yards); i++ {
		p += o.Yards[i]
	}
	return p
}

// over is the mean of a measure over the samples of some words, each word weighing its throws.
func over(all []sample, throwsOf map[string]float64, word func(string) bool, f func(*sample) float64) float64 {
	by := map[string]*mean{}
	for i := range all {
		if s := &all[i]; word(s.word) {
			if by[s.word] == nil {
				by[s.word] = &mean{}
			}
			by[s.word].add(f(s), s.weight)
		}
	}
	var out mean
	for w, m := range by {
		out.add(m.of(), throwsOf[w])
	}
	return out.of()
}

func zoneWord(w string) bool { return !manWord(w) }

func is(words ...string) func(string) bool {
	return func(w string) bool { return slices.Contains(words, w) }
}

// throwsBySituation are the season's throws by the situations of faced.
func throwsBySituation(t *testing.T) map[int]float64 {
	out := map[int]float64{}
	for _, r := range valueTable(t, "man_less_zone_by_down.csv") {
		for k, f := range faced {
			if r["down"] == f.down && r["dist_band"] == f.band {
				out[k] = figure(r["throws"])
			}
		}
	}
	if len(out) == 0 {
		out[0] = 1 // first and ten alone
	}
	return out
}

func coverageLines(t *testing.T, all []sample, effects []map[string]string, throwsOf map[string]float64) {
	row := map[string]map[string]string{}
	for _, r := range effects {
		row[r["name"]] = r
	}
	gap := func(a, b func(string) bool, f func(*sample) float64) float64 {
		return over(all, throwsOf, a, f) - over(all, throwsOf, b, f)
	}
	want := func(col string) float64 { return figure(row["MAN"][col]) - figure(row["ZONE"][col]) }
	caught := func(s *sample) float64 { return s.thrown[faced[0].sit].Caught }
	success := func(s *sample) float64 { return s.on(0).Success }
	twenty := func(s *sample) float64 { return explode(s.thrown[faced[0].sit]) }
	// The season's difference in success is over all downs and distances, and so is this one;
	// completions and long gains hang little on them.
	var fared mean
	for k, throws := range throwsBySituation(t) {
		fared.add(gap(manWord, zoneWord, func(s *sample) float64 { return s.on(k).Success }), throws)
	}
	fmt.Printf("coverage: man less zone completion %.3f %.3f success %.3f %.3f twenty-plus %.3f %.3f\n",
		gap(manWord, zoneWord, caught), want("complete"),
		fared.of(), want("success"), gap(manWord, zoneWord, twenty), want("twenty_plus"))
	two := is("COVER_2", "COVER_4", "COVER_6")
	var d mean
	for _, w := range []string{"COVER_2", "COVER_4", "COVER_6"} {
		d.add(figure(row[w]["twenty_plus"]), throwsOf[w])
	}
	fmt.Printf("coverage: two-high less one-high zone twenty-plus %.3f %.3f\n", gap(two, is("COVER_3"), twenty),
		d.of()-figure(row["COVER_3"]["twenty_plus"]))
	for _, w := range []string{"COVER_0", "COVER_1", "2_MAN", "COVER_2", "COVER_3", "COVER_4", "COVER_6"} {
		if *verbose {
			fmt.Printf("  %s: caught %.3f success %.3f twenty-plus %.3f picked %.3f points %.3f\n", w, over(all, throwsOf, is(w),
				caught), over(all, throwsOf, is(w), success),
				over(all, throwsOf, is(w), twenty), over(all, throwsOf, is(w),
					func(s *sample) float64 { return s.thrown[faced[0].sit].Intercepted }), over(all, throwsOf, is(w),
					func(s *sample) float64 { return s.on(0).Points }))
		}
	}
}

func byDown(t *testing.T, all []sample, throwsOf map[string]float64) {
	rows := valueTable(t, "man_less_zone_by_down.csv")
	if rows == nil {
		return
	}
	signs, sum := 0, 0.0
	for k, f := range faced {
		if !slices.Contains([]string{"1st 7-10", "2nd 1-3", "2nd 7-10", "3rd 1-3", "3rd 7-10", "3rd 11+"}, f.name) {
			continue
		}
		success := func(s *sample) float64 { return s.on(k).Success }
		got := over(all, throwsOf, manWord, success) - over(all, throwsOf, zoneWord, success)
		for _, r := range rows {
			if r["down"] == f.down && r["dist_band"] == f.band {
				want := figure(r["success"])
				sum += (got - want) * (got - want)
				if got*want > 0 {
					signs++
				}
				if *verbose {
					fmt.Printf("  %s: %.3f, table %.3f\n", f.name, got, want)
				}
			}
		}
	}
	fmt.Printf("coverage by down: signs right %d of 6 rms %.3f\n", signs, math.Sqrt(sum/6))
}

func withinSituation(t *testing.T, all []sample) {
	rows := valueTable(t, "coverage_situation.csv")
	if rows == nil {
		return
	}
	type key struct{ down, band, field string }
	type point struct {
		key          key
		n, want, got float64
	}
	engine := map[string]map[int]*mean{}
	for i := range all {
		s := &all[i]
		if engine[s.word] == nil {
			engine[s.word] = map[int]*mean{}
		}
		for k := range faced {
			if engine[s.word][k] == nil {
				engine[s.word][k] = &mean{}
			}
			engine[s.word][k].add(s.on(k).Success, s.weight)
		}
	}
	var ps []point
	means := map[key]*[2]mean{}
	for _, r := range rows {
		n := figure(r["n"])
		k := slices.IndexFunc(faced, func(f struct {
			name, down, band string
			sit              ToGain
		}) bool {
			return f.down == r["down"] && f.band == r["dist_b"]
		})
		if n < 40 || k < 0 || engine[r["coverage"]] == nil {
			continue
		}
		p := point{key{r["down"], r["dist_b"], r["field"]}, n, figure(r["successes"]) / n, engine[r["coverage"]][k].of()}
		if means[p.key] == nil {
			means[p.key] = &[2]mean{}
		}
		means[p.key][0].add(p.want, n)
		means[p.key][1].add(p.got, n)
		ps = append(ps, p)
	}
	var xy, xx, yy float64
	for _, p := range ps {
		x, y := p.want-means[p.key][0].of(), p.got-means[p.key][1].of()
		xy, xx, yy = xy+p.n*x*y, xx+p.n*x*x, yy+p.n*y*y
	}
	fmt.Printf("coverage within situation: r %.3f\n", xy/math.Sqrt(xx*yy))
}

func spreadLines(t *testing.T, all []sample, throwsOf map[string]float64) {
	var s, p [2]mean
	for w, n := range throwsOf {
		if _, ok := charted.calls[w]; !ok {
			continue
		}
		success := over(all, throwsOf, is(w), func(s *sample) float64 { return s.on(0).Success })
		pts := over(all, throwsOf, is(w), func(s *sample) float64 { return s.on(0).Points })
		s[0].add(success, n)
		s[1].add(success*success, n)
		p[0].add(pts, n)
		p[1].add(pts*pts, n)
	}
	fmt.Printf("coverage spread: success %.3f points %.3f\n", math.Sqrt(s[1].of()-s[0].of()*s[0].of()),
		math.Sqrt(p[1].of()-p[0].of()*p[0].of()))
	params := motion.Defaults(field.Pro)
	var ev Evaluator
	var out mean
	for n, pl := range libraryPlays(t, &params) {
		if charted.family[picture.Library()[n].Family] == 0 {
			continue
		}
		var m, sq mean
		for _, compiled := range call.Book() {
			x := must(ev.Weigh(t.Context(), compiled, &Seen{Play: pl}, Usual)).Value.Success
			m.add(x, 1)
			sq.add(x*x, 1)
		}
		out.add(math.Sqrt(max(0, sq.of()-m.of()*m.of())), 1)
	}
	fmt.Printf("coverage spread by picture: success %.3f\n", out.of())
}

var airBands = []struct {
	name     string
	from, to float64
}{{"behind", -20, 0}, {"0-4", 0, 5}, {"5-9", 5, 10}, {"10-14", 10, 15}, {"15-19", 15, 20}, {"20+", 20, 99}}

func bandOf(air float64) string {
	for _, b := range airBands {
		if air = math.Round(air); air >= b.from && air < b.to {
			return b.name
		}
	}
	return ""
}

// A runAfter adds up runs after catches.
type runAfter struct {
	weight, yards, twenty float64
	ended, reached        [longest + 1]float64
}

func (a *runAfter) add(p *[longest + 1]float64, w float64) {
	left := 1.0
	a.weight += w
	for n, x := range p {
		a.yards += w * float64(n) * x
		a.reached[n] += w * left
		a.ended[n] += w * x
		left -= x
		if n >= 20 {
			a.twenty += w * x
		}
	}
}

func (a *runAfter) hazard(from, to int) float64 {
	ended, reached := 0.0, 0.0
	for n := from; n < to; n++ {
		ended, reached = ended+a.ended[n], reached+a.reached[n]
	}
	return ended / reached
}

func afterCatchLine(t *testing.T, all []sample) {
	rows := valueTable(t, "after_catch_by_coverage.csv")
	if rows == nil {
		return
	}
	by := map[string]*runAfter{}
	for i := range all {
		s := &all[i]
		for n := range s.throws {
			b := bandOf(s.throws[n].Depth)
			if b == "behind" {
				continue
			}
			for _, name := range []string{b, "0-19"} {
				if name == "0-19" && b == "20+" {
					continue
				}
				k := name + " " + s.word
				if by[k] == nil {
					by[k] = &runAfter{}
				}
				by[k].add(&s.runs[n], s.weight*s.throws[n].Share*s.throws[n].Complete)
			}
		}
	}
	var m, tw, hz mean
	cells := 0
	for _, r := range rows {
		a := by[r["air"]+" "+r["coverage"]]
		if !strings.HasPrefix(r["coverage"], "COVER_") || a == nil || figure(r["catches"]) < 300 {
			continue
		}
		if r["air"] == "0-19" {
			d1, d2 := a.hazard(5, 10)-figure(r["hazard_5_10"]), a.hazard(10, 20)-figure(r["hazard_10_20"])
			hz.add(d1*d1, 1)
			hz.add(d2*d2, 1)
			if *verbose {
				fmt.Printf("  after catch %s: hazards 1-5 %.3f table %s, 5-10 %.3f table %s, 10-20 %.3f table %s\n", r["coverage"],
					a.hazard(1, 5), r["hazard_1_5"], a.hazard(5, 10), r["hazard_5_10"], a.hazard(10, 20), r["hazard_10_20"])
			}
		}
		if !slices.Contains([]string{"0-4", "5-9", "10-14"}, r["air"]) {
			continue
		}
		cells++
		d, e := a.yards/a.weight-figure(r["mean"]), a.twenty/a.weight-figure(r["twenty_plus"])
		m.add(d*d, 1)
		tw.add(e*e, 1)
		if *verbose {
			fmt.Printf("  after catch %s %s: %.2f table %s, zero %.3f table %s, twenty %.3f table %s\n", r["air"], r["coverage"],
				a.yards/a.weight, r["mean"], a.ended[0]/a.weight, r["zero_or_less"], a.twenty/a.weight, r["twenty_plus"])
		}
	}
	fmt.Printf("after-catch: cells %d mean rms %.3f twenty-plus rms %.3f hazard rms %.3f\n", cells, math.Sqrt(m.of()),
		math.Sqrt(tw.of()), math.Sqrt(hz.of()))
}

func interceptionLine(t *testing.T, all []sample, throwsOf map[string]float64) {
	rows := valueTable(t, "interceptions_by_depth.csv")
	if rows == nil {
		return
	}
	by := map[string]*mean{}
	total := map[string]float64{}
	for i := range all {
		total[all[i].word] += all[i].weight
	}
	for i := range all {
		s := &all[i]
		family := "ZONE"
		if manWord(s.word) {
			family = "MAN"
		}
		for n := range s.throws {
			k := bandOf(s.throws[n].Depth) + " " + family
			if by[k] == nil {
				by[k] = &mean{}
			}
			by[k].add(min(interception(s.men[n], s.throws[n].Depth), 1-s.throws[n].Complete),
				s.weight*s.throws[n].Share*throwsOf[s.word]/total[s.word])
		}
	}
	var m mean
	for _, r := range rows {
		a := by[r["air"]+" "+r["man_zone"]]
		if figure(r["throws"]) < 300 || a == nil {
			continue
		}
		d := a.of() - figure(r["intercepted"])
		m.add(d*d, figure(r["throws"]))
		if *verbose {
			fmt.Printf("  intercepted %s %s: %.3f table %s\n", r["air"], r["man_zone"], a.of(), r["intercepted"])
		}
	}
	fmt.Printf("interceptions: rms %.3f\n", math.Sqrt(m.of()))
}

// median is the weighted middle of release times.
func median(all []sample, use func(*sample) bool) float64 {
	type point struct{ t, w float64 }
	var ps []point
	total := 0.0
	for i := range all {
		if s := &all[i]; use(s) {
			for n := range s.throws {
				w := s.weight * s.throws[n].Share
				ps, total = append(ps, point{s.throws[n].Release, w}), total+w
			}
		}
	}
	slices.SortFunc(ps, func(a, b point) int { return int(math.Copysign(1, a.t-b.t)) })
	sum := 0.0
	for _, p := range ps {
		if sum += p.w; sum >= total/2 {
			return p.t
		}
	}
	return math.NaN()
}

func rushLine(t *testing.T, all []sample) {
	rows := valueTable(t, "rush.csv")
	if rows == nil {
		return
	}
	d := map[string]map[string]string{}
	for _, r := range rows {
		if r["play_action"] == "all" {
			d[r["rushers"]] = r
		}
	}
	press, mid := "", ""
	for _, n := range []int{4, 5, 6} {
		var p mean
		for i := range all {
			if all[i].rushers == n {
				p.add(all[i].press, all[i].weight)
			}
		}
		r := d[fmt.Sprint(n)]
		press += fmt.Sprintf(" %d %.3f %.3f", n, p.of(), figure(r["pressured_or_sacked_of_throws_and_sacks"]))
		mid += fmt.Sprintf(" %d %.3f %.3f", n, median(all, func(s *sample) bool { return s.rushers == n }),
			figure(r["time_p50"]))
	}
	blitz, none, fake, plain := mean{}, mean{}, mean{}, mean{}
	for i := range all {
		s := &all[i]
		v := s.outcome.On(faced[0].sit, &Usual)
		if s.rushers > 4 {
			blitz.add(v.Points, s.weight)
		} else {
			none.add(v.Points, s.weight)
		}
		if charted.family[s.family] == charted.family["play_action"] {
			fake.add(explode(s.outcome), s.weight)
		} else {
			plain.add(explode(s.outcome), s.weight)
		}
	}
	var want [2]float64
	for _, r := range valueTable(t, "blitz_play_action.csv") {
		switch r["contrast"] + " " + r["measure"] {
		case "blitz less none points":
			want[0] = figure(r["difference"])
		case "play action less none twenty_plus":
			want[1] = figure(r["difference"])
		}
	}
	fmt.Printf("rush: pressured%s median%s blitz points %.3f %.3f play action twenty-plus %.3f %.3f\n", press, mid,
		blitz.of()-none.of(), want[0], fake.of()-plain.of(), want[1])
}
