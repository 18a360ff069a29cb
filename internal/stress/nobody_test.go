package stress

import (
	"math"
	"strings"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// TestNobodyCovers: a call in which everybody rushes leaves every throw open, in
// finite numbers; a call of nobody is refused.
func TestNobodyCovers(t *testing.T) {
	c, err := call.Decode(strings.NewReader(`{"name":"all in","defenders":[{"name":"end","side":"both","body":"lineman","align":[{"on":"ball","offset_yd":3,"depth_yd":1}],"rules":[{"when":"else","then":"rush"}]}]}`))
	if err != nil {
		t.Fatal(err)
	}
	compiled, err := call.Compile(c)
	if err != nil {
		t.Fatal(err)
	}
	params := motion.Defaults(field.HighSchool)
	p, err := picture.New(picture.Spec{Set: "2x2", Family: "dropback", Routes: "P1 go, P2 corner@12",
		Receiver: params.Receiver, Back: params.Back})
	if err != nil {
		t.Fatal(err)
	}
	r := evaluated(compiled, Prepare(p, &params), Usual)
	if len(r.Findings) == 0 || len(r.Throws) == 0 {
		t.Fatalf("findings %v, throws %v", r.Findings, r.Throws)
	}
	for i := range r.Findings {
		f := &r.Findings[i]
		if f.Kind != Uncovered || math.IsInf(f.Size, 0) || math.IsNaN(f.Size) || r.Sentence(f) == "" {
			t.Errorf("finding %+v", f)
		}
	}
	for _, th := range r.Throws {
		if math.IsInf(th.Separation, 0) || math.IsNaN(th.Success) {
			t.Errorf("throw %+v", th)
		}
	}
	for _, a := range r.BestChoices(motion.Boost{}) {
		if math.IsNaN(a.Taught) || math.IsInf(a.Taught, 0) || math.IsInf(a.Best, 0) {
			t.Errorf("answer %+v", a)
		}
	}
	if _, err := call.Compile(&call.Call{Name: "nobody"}); err == nil {
		t.Error("a call without defenders was compiled")
	}
}
