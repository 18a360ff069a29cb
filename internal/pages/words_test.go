package pages

import (
	"encoding/xml"
	"fmt"
	"html/template"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"overhang/internal/plan"
	"overhang/internal/tags"
)

// said runs one function of the templates as a template does.
func said(t *testing.T, call string, data any) string {
	t.Helper()
	var b strings.Builder
	if err := template.Must(template.New("").Funcs(words).Parse(call)).Execute(&b, data); err != nil {
		t.Fatal(call, err)
	}
	return b.String()
}

// TestNumbersInWords: what a person reads, at the edges where rounding shows; nothing is
// written with a minus before nothing.
func TestNumbersInWords(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		call string
		x    any
		want string
	}{
		{"{{pct .}}", 0.0, "0%"}, {"{{pct .}}", 0.384, "38%"}, {"{{pct .}}", 0.996, "100%"}, {"{{pct .}}", 1.0, "100%"},
		{"{{change .}}", 0.12, "&#43;12"}, {"{{change .}}", -0.12, "−12"}, {"{{change .}}", 0.004, "0"},
		{"{{change .}}", -0.004, "0"}, {"{{change .}}", 0.0, "0"},
		{"{{inHundred .}}", 0.02, "on 2 more plays in 100"}, {"{{inHundred .}}", -0.016, "on 2 fewer plays in 100"},
		{"{{inHundred .}}", 0.01, "on 1 more play in 100"},
		{"{{inHundred .}}", 0.004, "no more and no less often"}, {"{{inHundred .}}", -0.004, "no more and no less often"},
		{"{{yards .}}", 5.0, "5"}, {"{{yards .}}", 5.04, "5"}, {"{{yards .}}", 5.06, "5.1"}, {"{{yards .}}", -2.5, "-2.5"},
		{"{{yards .}}", -0.04, "0"}, {"{{yards .}}", 10.0, "10"},
		{"{{yd .}}", 5.0, "5.0"}, {"{{yd .}}", -0.04, "0.0"}, {"{{yd .}}", -0.06, "-0.1"},
		{"{{whole .}}", 0.384, "38"}, {"{{whole1 .}}", 37.6, "38"}, {"{{whole1 .}}", -0.4, "0"},
		{"{{ord .}}", "1", "1st"}, {"{{ord .}}", "2", "2nd"}, {"{{ord .}}", "3", "3rd"}, {"{{ord .}}", "4", "4th"},
		{"{{ord .}}", "5", "5"}, {"{{ord .}}", "", ""}, {"{{ord .}}", "11+", "11&#43;"},
		{`{{many . "snap"}}`, 0, "0 snaps"}, {`{{many . "snap"}}`, 1, "1 snap"}, {`{{many . "snap"}}`, 2, "2 snaps"},
		{"{{inc .}}", 0, "1"}, {"{{deref .}}", ptr(2.5), "2.5"}, {"{{label .}}", "play_action", "play action"},
		{"{{dimension .}}", "distance_band", "distance"}, {"{{dimension .}}", "hash", "hash"},
		{"{{dimension .}}", "throw_time", "throw time"}, {`{{said "down" .}}`, "3", "3rd"},
		{`{{said "target_number" .}}`, "2", "#2"}, {`{{said "field_zone" .}}`, "RED", "red zone"},
		{`{{said "field_zone" .}}`, "OUR_OWN", "OUR OWN"}, {`{{said "family" .}}`, "play_action", "play action"},
		{`{{value "down" .}}`, (*string)(nil), "not tagged"}, {`{{value "down" .}}`, ptr("2"), "2nd"},
		{"{{words .}}", "set_name", "Sets"}, {"{{index (list . `b`) 1}}", "a", "b"},
	} {
		if got := said(t, tt.call, tt.x); got != tt.want {
			t.Errorf("%s of %v: %q, want %q", tt.call, tt.x, got, tt.want)
		}
	}
	for _, field := range tags.Allowed("vocabulary") {
		if fieldWords(field) == "" {
			t.Errorf("the field %s of the vocabulary has no word", field)
		}
	}
}

// TestDaysAndMoments: on the staff's own clock, which may show another day; a year that is
// not this one is said.
func TestDaysAndMoments(t *testing.T) {
	t.Parallel()
	ny, err := time.LoadLocation("America/New_York") // UTC-5 in winter, UTC-4 in summer (IANA)
	if err != nil {
		t.Fatal(err)
	}
	summer := time.Date(2019, 7, 4, 2, 5, 0, 0, time.UTC)
	for got, want := range map[string]string{Moment(summer, ny): "Jul 3, 10:05 pm", Moment(summer,
		time.UTC): "Jul 4, 2:05 am",
		Day(summer, ny): "Jul 3, 2019", Day(summer, time.UTC): "Jul 4, 2019"} {
		if got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
	if now := time.Now(); Day(now, time.UTC) != now.UTC().Format("Jan 2") {
		t.Errorf("today is %s", Day(now, time.UTC))
	}
	for _, zone := range TimeZones {
		if _, err := time.LoadLocation(zone); err != nil {
			t.Error(err)
		}
	}
	sh := Shell{Program: &tags.Program{Settings: tags.Settings{TimeZone: "America/New_York"}}}
	var b strings.Builder
	if err := template.Must(template.Must(sh.templates().Clone()).New("x").Parse("{{moment .}} {{day .}}")).Execute(&b,
		summer); err != nil || b.String() != "Jul 3, 10:05 pm Jul 3, 2019" {
		t.Errorf("a page of that program: %q, %v", b.String(), err)
	}
}

var numbers = regexp.MustCompile(`-?\d+(?:\.\d+)?`)

// attributes reads a drawing as XML and returns its elements' attributes by name and class.
func attributes(t *testing.T, svg template.HTML) (out map[string][]map[string]string, text string) {
	t.Helper()
	out = map[string][]map[string]string{}
	d := xml.NewDecoder(strings.NewReader(string(svg)))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return out, text
		}
		if err != nil {
			t.Fatalf("%v: %s", err, svg)
		}
		switch x := tok.(type) {
		case xml.StartElement:
			a := map[string]string{}
			for _, k := range x.Attr {
				a[k.Name.Local] = k.Value
			}
			key := x.Name.Local
			if c := strings.Fields(a["class"]); len(c) > 0 {
				key += "." + c[0]
			}
			out[key] = append(out[key], a)
		case xml.CharData:
			text += string(x)
		}
	}
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	f, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// TestIntervalDrawsWhatItSays: the bar is as long as the share, the whisker from low to high,
// never outside of the drawing, and the label says the three numbers.
func TestIntervalDrawsWhatItSays(t *testing.T) {
	t.Parallel()
	for _, x := range [][3]float64{{.55, .4, .69}, {0, 0, .28}, {1, .72, 1}, {1.2, -.5, 1.5}} {
		at, _ := attributes(t, Interval(x[0], x[1], x[2]))
		in := func(f float64) float64 { return 120 * math.Max(0, math.Min(1, f)) }
		if w := number(t, at["rect.fill"][0]["width"]); math.Abs(w-in(x[0])) > .051 {
			t.Errorf("%v: the bar is %v long, want %v", x, w, in(x[0]))
		}
		var ends []float64
		for _, n := range numbers.FindAllString(at["path.whisker"][0]["d"], -1) {
			ends = append(ends, number(t, n))
		}
		if len(ends) < 3 || math.Abs(ends[0]-in(x[1])) > .051 || math.Abs(ends[2]-in(x[2])) > .051 {
			t.Errorf("%v: the whisker goes by %v", x, ends)
		}
		want := fmt.Sprintf("%.0f%%, between %.0f and %.0f", 100*x[0], 100*x[1], 100*x[2])
		if svg := at["svg.interval"][0]; svg["aria-label"] != want || svg["role"] != "img" {
			t.Errorf("%v: it says %q, want %q", x, svg["aria-label"], want)
		}
	}
}

// TestSpreadKeepsItsAxis: points from -.25 to .4 over 130 units, nothing given up at 50; what
// lies beyond stands at the edge, the label says the real number.
func TestSpreadKeepsItsAxis(t *testing.T) {
	t.Parallel()
	for mid, want := range map[float64]float64{-.25: 0, 0: 50, .4: 130, -3: 0, 3: 130, .075: 65} {
		at, _ := attributes(t, Spread(mid, mid-.1, mid+.1))
		if got := number(t, at["circle.dot"][0]["cx"]); math.Abs(got-want) > .051 {
			t.Errorf("%v points stand at %v, want %v", mid, got, want)
		}
		if axis := at["path.axis"][0]["d"]; axis != "M50 0V16" {
			t.Errorf("the axis is %s", axis)
		}
	}
}

// TestBesideMarksWhatWasExpected, and below 0 nothing: then it is a bar like any other.
func TestBesideMarksWhatWasExpected(t *testing.T) {
	t.Parallel()
	at, _ := attributes(t, Beside(.5, .25, .75, .2))
	if m := at["path.meant"]; len(m) != 1 || m[0]["d"] != "M32 0V17" {
		t.Errorf("the mark is %v, want one at 32 of 160", m)
	}
	if label := at["svg.interval"][0]["aria-label"]; label != "expected 20%, was 50%, between 25 and 75" {
		t.Error(label)
	}
	if got := Beside(.5, .25, .75, -1); got != Interval(.5, .25, .75) {
		t.Errorf("nothing expected: %s", got)
	}
	if at, _ = attributes(t, Beside(.5, .25, .75, 0)); len(at["path.meant"]) != 1 {
		t.Error("0 expected is not marked")
	}
}

// TestCalibrationDrawsEveryBinThatHasPlays: a dot a bin, thin ones marked, empty ones left
// out; the diagonal is where a forecast is right.
func TestCalibrationDrawsEveryBinThatHasPlays(t *testing.T) {
	t.Parallel()
	bins := []plan.Bin{{From: 0, To: .2, Forecast: .1, Came: plan.Of(2, 20)}, {From: .2, To: .4},
		{From: .4, To: .6, Forecast: .5, Came: plan.Of(1, 4)}}
	at, text := attributes(t, Calibration(bins))
	dots := at["circle.dot"]
	if len(dots) != 2 || dots[0]["class"] != "dot" || dots[1]["class"] != "dot few" {
		t.Fatalf("dots %v", dots)
	}
	// The field is 260 wide from (40, 26): forecast .1 and came .1 lie on the diagonal.
	if dots[0]["cx"] != "66" || dots[0]["cy"] != "260" || dots[1]["cx"] != "170" || dots[1]["cy"] != "221" {
		t.Errorf("dots at %s,%s and %s,%s", dots[0]["cx"], dots[0]["cy"], dots[1]["cx"], dots[1]["cy"])
	}
	if at["path.right"][0]["d"] != "M40 286L300 26" {
		t.Errorf("the line is %s", at["path.right"][0]["d"])
	}
	label := at["svg.calibration"][0]["aria-label"]
	if !strings.Contains(label, "Forecast 10%, came 10% of 20.") || !strings.Contains(label,
		"Forecast 50%, came 25% of 4.") ||
		!strings.Contains(text, "n 20") || strings.Contains(text, "n 0") {
		t.Errorf("it says %q and %q", label, text)
	}
}
