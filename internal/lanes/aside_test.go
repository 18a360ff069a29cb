package lanes

import (
	"errors"
	"net/http"
	"runtime"
	"strings"
	"testing"
	"time"
)

// TestAside: work done aside is done by then, its error is the caller's, and so is its panic,
// with the place of it; who has had much lately comes later, and is forgiven.
func TestAside(t *testing.T) {
	a := account{had: map[string]usage{}}
	want := errors.New("invented")
	if err := a.aside("x", seldom, func() error { return want }); err != want {
		t.Errorf("%v, want %v", err, want)
	}
	broke := func(with any) (got any) {
		defer func() { got = recover() }()
		a.aside("x", seldom, func() error { panic(with) })
		return nil
	}
	if got := broke(http.ErrAbortHandler); got != http.ErrAbortHandler {
		t.Errorf("an aborted answer panicked with %v", got)
	}
	if err, _ := broke("invented").(error); err == nil || !strings.Contains(err.Error(), "invented\n") ||
		!strings.Contains(err.Error(), "aside_test.go") {
		t.Errorf("a panic came back as %v", err)
	}
	for time.Duration(0) == a.had["y"].time { // a thread's time has steps
		a.aside("y", seldom, func() error { spin(20 * time.Millisecond); return nil })
	}
	if a.later("y", seldom) != seldom || a.later("z", seldom) != seldom {
		t.Error("a little work makes nobody come later")
	}
	a.charge("y", time.Minute)
	if a.later("y", seldom) != often || a.later("y", atOnce) != often || a.later("z", seldom) != seldom ||
		a.later("z", atOnce) != atOnce {
		t.Error("who has had a minute comes no later than who had nothing")
	}
	u := a.had["y"]
	a.had["y"] = usage{u.time, u.at.Add(-time.Minute)}
	if a.later("y", seldom) != seldom {
		t.Error("a minute later he is not forgiven")
	}
}

// TestLasting: what has lasted comes later, step by step and never sooner; the machine knows.
func TestLasting(t *testing.T) {
	for _, c := range []struct {
		took        time.Duration
		steps, want int
	}{{0, atOnce, atOnce}, {long - 1, seldom, seldom}, {long, atOnce, lasting}, {long, often, often},
		{veryLong, seldom, often}} {
		if got := later(c.took, c.steps); got != c.want {
			t.Errorf("after %v at %d: %d, want %d", c.took, c.steps, got, c.want)
		}
	}
	if runtime.GOOS != "linux" {
		t.Skip("niceness by thread is known to Linux alone")
	}
	a := account{had: map[string]usage{}}
	nice := func() int { n, _ := thisThread().nice(); return n }
	var before, first, last int
	before = nice()
	a.aside("x", atOnce, func() error {
		first = nice()
		for self, begun := thisThread(), thisThread().time(); self.time()-begun < veryLong+3*look; {
		}
		last = nice()
		return nil
	})
	if first != before || last != min(19, before+often) {
		t.Errorf("nice %d before, %d at first, %d after a second of work", before, first, last)
	}
}

func spin(d time.Duration) {
	for begun := time.Now(); time.Since(begun) < d; {
		runtime.Gosched()
	}
}
