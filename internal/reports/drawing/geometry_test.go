package drawing

import (
	"bytes"
	"encoding/xml"
	"math"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"overhang/internal/reports/ink"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

// A ruled is an SVG as a reader with a ruler sees it: groups by style, lengths in mm.
type ruled struct {
	Desc   string  `xml:"desc"`
	Title  string  `xml:"title"`
	Groups []group `xml:"g"`
}

type group struct {
	Class   string   `xml:"class,attr"`
	Paths   []shape  `xml:"path"`
	Circles []circle `xml:"circle"`
	Wide    []circle `xml:"ellipse"` // a mark of two letters
	Texts   []string `xml:"text"`
}

type shape struct {
	D     string `xml:"d,attr"`
	Title string `xml:"title"`
}

type circle struct {
	X     float64 `xml:"cx,attr"`
	Y     float64 `xml:"cy,attr"`
	R     float64 `xml:"r,attr"`
	Title string  `xml:"title"`
}

// read parses an SVG; a drawing that is no XML fails here.
func read(t *testing.T, s *Scene, w float64) *ruled {
	t.Helper()
	var b bytes.Buffer
	if err := s.SVG(&b, w); err != nil {
		t.Fatal(err)
	}
	d := new(ruled)
	if err := xml.Unmarshal(b.Bytes(), d); err != nil {
		t.Fatal(err)
	}
	return d
}

var vertex = regexp.MustCompile(`(M|L)(-?[\d.]+) (-?[\d.]+)`)

// runs are the straight runs of a style.
func (d *ruled) runs(class string) (out [][]ink.Spot) {
	for _, g := range d.Groups {
		if g.Class != class {
			continue
		}
		for _, p := range g.Paths {
			for _, m := range vertex.FindAllStringSubmatch(p.D, -1) {
				x, _ := strconv.ParseFloat(m[2], 64)
				y, _ := strconv.ParseFloat(m[3], 64)
				if m[1] == "M" {
					out = append(out, nil)
				}
				out[len(out)-1] = append(out[len(out)-1], ink.At(x, y))
			}
		}
	}
	return out
}

// TestMarkings measures the drawn field with a ruler: everything in feet from the
// left sideline, the scale taken from the drawn width alone.
func TestMarkings(t *testing.T) {
	for _, tt := range []struct {
		level                field.Level
		hash                 float64 // ft from the near sideline
		numberFrom, numberTo float64 // ft from the near sideline
		src                  string
	}{
		{field.HighSchool, 53 + 4.0/12, 21, 27,
			"published.md 4: hash 53 ft 4 in (SEEN), tops 9 yd from the sideline, 6 ft tall (MEM)"},
		{field.College, 60, 21, 27,
			"published.md 4: hash 60 ft (SEEN), tops 9 yd from the sideline, 6 ft tall (rule 1-2-1-i, SEEN)"},
		{field.Pro, 70 + 9.0/12, 36, 42,
			"published.md 4: hash 70 ft 9 in (SEEN), bottoms 12 yd from the sideline, 6 ft tall (SEEN)"},
	} {
		for _, w := range []float64{60, 180} {
			for _, toGoal := range []float64{0, 37, 18} {
				p := pairs[0]
				p.level, p.toGoal, p.fromMiddle = tt.level, toGoal, -2
				pic, _ := p.picture(t)
				s := Concept(pic, Options{Top: 25})
				d := read(t, &s, w)
				sides := d.runs("sideline")
				left, right := sides[0][0].X, sides[1][0].X
				perFoot := (right - left) / 160 // 160 ft wide at every level (SEEN)
				near := func(x float64) float64 { return math.Min(x-left, right-x) / perFoot }
				tol := 0.012 / perFoot * 2 // both ends are written to a hundredth of a mm
				inner, gap := 0.0, [2]float64{math.Inf(-1), math.Inf(1)}
				for _, h := range d.runs("hash") {
					for _, q := range h {
						inner = math.Max(inner, near(q.X))
						if q.X < (left+right)/2 {
							gap[0] = math.Max(gap[0], q.X)
						} else {
							gap[1] = math.Min(gap[1], q.X)
						}
					}
				}
				if math.Abs(inner-tt.hash) > tol {
					t.Errorf("%v, %v mm: the hash row is %.3f ft from the sideline, want %.3f (%s)", tt.level, w, inner, tt.hash,
						tt.src)
				}
				if got, want := (gap[1]-gap[0])/perFoot, 160-2*tt.hash; math.Abs(got-want) > 2*tol {
					t.Errorf("%v: the hash rows are %.3f ft apart, want %.3f (identity check of published.md 4)", tt.level, got, want)
				}
				lo, hi := math.Inf(1), 0.0
				for _, run := range d.runs("number") {
					for _, q := range run {
						lo, hi = math.Min(lo, near(q.X)), math.Max(hi, near(q.X))
					}
				}
				if math.Abs(lo-tt.numberFrom) > tol || math.Abs(hi-tt.numberTo) > tol {
					t.Errorf("%v: the numbers reach from %.2f to %.2f ft, want %v to %v (%s)", tt.level, lo, hi, tt.numberFrom,
						tt.numberTo, tt.src)
				}
				// five yards apart: 100 yd in twenty pieces (rule books, SEEN as 360 ft)
				for i, lines := 1, d.runs("yardline"); i < len(lines); i++ {
					if got := math.Abs(lines[i][0].Y-lines[i-1][0].Y) / perFoot; math.Abs(got-15) > 2*tol {
						t.Errorf("%v: yard lines %.3f ft apart, want 15", tt.level, got)
					}
				}
			}
		}
	}
}

// TestMenStand finds every man in the picture and compares with where the engine
// put him; the scale is the drawn width, the origin the line of scrimmage.
func TestMenStand(t *testing.T) {
	for _, p := range pairs {
		r := p.play(t)
		for _, turned := range []bool{false, true} {
			s := Call(r, Options{FromDefense: turned})
			d := read(t, &s, 180)
			sides := d.runs("sideline")
			left, right := sides[0][0].X, sides[1][0].X
			if turned {
				left, right = right, left
			}
			k := math.Abs(right-left) / (160.0 / 3)
			zero := d.runs("scrimmage")[0][0].Y
			sign := 1.0
			if turned {
				sign = -1
			}
			place := func(x, y float64) field.Point {
				return field.Point{X: sign*(x-sides[0][0].X)/k - 160.0/6 - r.Rep.Picture.Spot.FromMiddle, Y: sign * (zero - y) / k}
			}
			found := map[string][]field.Point{}
			for _, g := range d.Groups {
				for _, c := range append(g.Circles, g.Wide...) {
					found[c.Title] = append(found[c.Title], place(c.X, c.Y))
				}
				if g.Class == "defender" || g.Class == "rusher" {
					for _, run := range d.runsOf(g) { // upper edge and point lie 1 and 1.25 radii from the center
						at := ink.At((run[0].X+run[1].X)/2, run[0].Y+(run[3].Y-run[0].Y)/2.25)
						found[nameOf(g, run)] = append(found[nameOf(g, run)], place(at.X, at.Y))
					}
				}
			}
			want := map[string]field.Point{}
			for i := range r.Rep.Picture.Receivers {
				rec := &r.Rep.Picture.Receivers[i]
				want[eligibleName(r.Rep.Picture, rec)] = rec.At
			}
			for j := range r.Rep.Setup.Men {
				want[r.Defender(j)] = r.Rep.Setup.Men[j].At
			}
			for name, at := range want {
				if len(found[name]) != 1 || found[name][0].Dist(at) > 0.02 {
					t.Errorf("%s, turned %v: %s is drawn at %v, the engine has him at %v", p.name, turned, name, found[name], at)
				}
			}
		}
	}
}

// runsOf are the runs of one group.
func (d *ruled) runsOf(g group) [][]ink.Spot {
	return (&ruled{Groups: []group{g}}).runs(g.Class)
}

// nameOf names the shape of a group that a run belongs to.
func nameOf(g group, run []ink.Spot) string {
	for _, p := range g.Paths {
		m := vertex.FindStringSubmatch(p.D)
		if m[2] == ink.Num(run[0].X) && m[3] == ink.Num(run[0].Y) {
			return p.Title
		}
	}
	return ""
}

// TestConflictDrawn holds the marks of a finding against the engine: the catch he
// is short of lies on the open route, and the yards are those of the finding.
func TestConflictDrawn(t *testing.T) {
	seen := 0
	for _, p := range pairs {
		r := p.play(t)
		for i := range r.Findings {
			f := &r.Findings[i]
			if f.Open == r.Rep.Run {
				continue
			}
			s := Finding(r, i, Options{})
			c := s.Conflict
			k := int(math.Round((f.At - r.Rep.Releases[0]) / motion.Tick))
			if got := r.Rep.Releases[k]; math.Abs(got-f.At) > 1e-9 {
				t.Fatalf("%s: release %v taken for %v", p.name, got, f.At)
			}
			near := math.Inf(1)
			for _, rt := range s.Routes {
				if rt.Role == Open {
					for j := 1; j < len(rt.Path); j++ {
						near = math.Min(near, apart(c.OpenAt, rt.Path[j-1], rt.Path[j]))
					}
				}
			}
			if near > 0.05 {
				t.Errorf("%s, %s: the catch is %.2f yd off the drawn route", p.name, c.Open, near)
			}
			if c.ShortYd != f.Size || s.Men[c.Man].Name != r.Defender(f.Man) {
				t.Errorf("%s: drawn %v short on the %s; the finding has %v on the %s", p.name, c.ShortYd, s.Men[c.Man].Name, f.Size,
					r.Defender(f.Man))
			}
			for _, th := range Time(r, i).Threats {
				if n := slices.Index(th.Times, f.At); th.Role == Open && !f.Choice && math.Abs(th.Yards[n]-f.Size) > 1e-9 {
					t.Errorf("%s: the curve has %v at %v s; the finding has %v", p.name, th.Yards[n], f.At, f.Size)
				}
			}
			seen++
		}
	}
	if seen < 15 {
		t.Errorf("only %d findings were drawn", seen)
	}
}

// apart is the distance of p from the straight piece a to b.
func apart(p, a, b field.Point) float64 {
	d := b.Sub(a)
	k := math.Max(0, math.Min(1, p.Sub(a).Dot(d)/math.Max(d.Dot(d), 1e-12)))
	return p.Dist(a.Add(d.Times(k)))
}
