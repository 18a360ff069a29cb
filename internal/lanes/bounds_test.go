package lanes

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

// in enters a lane, or fails the test.
func in(t *testing.T, l *Lane, who Party) (leave func()) {
	t.Helper()
	leave, why, err := l.Enter(t.Context(), who, ready)
	if why != "" || err != nil {
		t.Fatalf("%v is not let in: %s, %v", who, why, err)
	}
	return leave
}

// TestARequestThatIsNotReadyTakesNoPlace: what it needs failed, and the next one comes in.
func TestARequestThatIsNotReadyTakesNoPlace(t *testing.T) {
	t.Parallel()
	l, broken := lane("x", 1, 0, time.Second, 1), errors.New("half a body")
	for range 3 {
		leave, why, err := l.Enter(t.Context(), Party{Person: "jo"}, func() error { return broken })
		if leave != nil || why != "" || !errors.Is(err, broken) || l.Inside() != 0 {
			t.Fatalf("%s, %v, %d inside", why, err, l.Inside())
		}
	}
	in(t, l, Party{Person: "jo"})()
}

// TestWhoLeavesWhileHeWaits gives his place back, and is told what he knows: that he left.
func TestWhoLeavesWhileHeWaits(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := lane("x", 1, 1, time.Minute, 0)
		leave := in(t, l, Party{})
		ctx, gone := context.WithCancel(t.Context())
		done := make(chan error)
		go func() { _, _, err := l.Enter(ctx, Party{}, ready); done <- err }()
		synctest.Wait()
		if l.Inside() != 2 {
			t.Errorf("%d inside, want one who runs and one who waits", l.Inside())
		}
		gone()
		if err := <-done; !errors.Is(err, context.Canceled) || l.Inside() != 1 {
			t.Errorf("%v, %d inside", err, l.Inside())
		}
		leave()
		if l.Inside() != 0 {
			t.Errorf("%d inside in the end", l.Inside())
		}
	})
}

// TestSharesOfOneProgram: its people together have so many places, and no more of them run at
// once than may; others, and who is nobody's, come in.
func TestSharesOfOneProgram(t *testing.T) {
	t.Parallel()
	l := lane("x", 9, 9, 10*time.Millisecond, 2)
	l.ofProgram, l.each = 3, 1
	us := func(person string) Party { return Party{person, "us"} }
	leave := in(t, l, us("jo"))
	if _, why, _ := l.Enter(t.Context(), us("ann"), ready); why != TooSlow {
		t.Errorf("a second one of the same program: %q, want it to wait for the first", why)
	}
	if _, why, _ := l.Enter(t.Context(), Party{"jo", "them"}, ready); why != TooSlow {
		t.Errorf("the same person in another program: %q, want it to wait too", why)
	}
	in(t, l, Party{"cal", "them"})()
	in(t, l, Party{})()
	leave()
	if l.by["program us"] != 0 || l.turns["program us"] != nil {
		t.Errorf("what is kept of a program that has nobody inside: %v", l.by)
	}
}

// TestPlacesByPersonAndProgram counts who is inside under both names; one that is not known
// counts under none.
func TestPlacesByPersonAndProgram(t *testing.T) {
	t.Parallel()
	for want, who := range map[string]Party{"[]": {}, "[person jo]": {Person: "jo"}, "[program us]": {Program: "us"},
		"[person jo program us]": {"jo", "us"}} {
		if got := fmt.Sprint(who.names()); got != want {
			t.Errorf("%+v counts under %s, want %s", who, got, want)
		}
	}
	l := lane("x", 9, 9, time.Millisecond, 2)
	l.ofProgram = 3
	var leave []func()
	for _, who := range []Party{{"jo", "us"}, {"jo", "us"}, {"ann", "us"}, {}, {}, {}} {
		leave = append(leave, in(t, l, who))
	}
	for who, want := range map[Party]Refusal{{"jo", "them"}: Shared, {"cal", "us"}: Shared, {"cal", "them"}: ""} {
		out, why, _ := l.Enter(t.Context(), who, ready)
		if why != want {
			t.Errorf("%+v: %q, want %q", who, why, want)
		}
		if out != nil {
			out()
		}
	}
	for _, f := range leave {
		f()
	}
	if l.Inside() != 0 || len(l.by) != 0 {
		t.Errorf("%d inside: %v", l.Inside(), l.by)
	}
}

// TestATurnRests as long as the last took, times over, two seconds at most; the lane itself is
// free at once.
func TestATurnRests(t *testing.T) {
	for took, want := range map[time.Duration]time.Duration{100 * time.Millisecond: 300 * time.Millisecond,
		time.Second: longestRest, time.Hour: longestRest} {
		synctest.Test(t, func(t *testing.T) {
			l := lane("x", 1, 9, time.Minute, 9)
			l.each, l.rest = 1, 3
			leave := in(t, l, Party{Person: "jo"})
			time.Sleep(took)
			leave()
			in(t, l, Party{Person: "ann"})()
			begun := time.Now()
			in(t, l, Party{Person: "jo"})
			if waited := time.Since(begun); waited != want {
				t.Errorf("after %v he waits %v, want %v", took, waited, want)
			}
		})
	}
}

// TestUsageFadesAway: what somebody had counts e times less every ten seconds; more than three
// seconds of it lately and he comes last.
func TestUsageFadesAway(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		a := account{had: map[string]usage{}}
		for _, after := range []time.Duration{0, lately, 3 * lately} {
			u := usage{4 * time.Second, time.Now().Add(-after)}
			want := 4 * math.Exp(-after.Seconds()/10)
			if got := u.now(time.Now()).Seconds(); math.Abs(got-want) > 1e-6 {
				t.Errorf("4 s, %v ago, count %v, want %v", after, got, want)
			}
		}
		a.charge("us", 2*time.Second)
		if got := a.later("us", seldom); got != seldom {
			t.Errorf("after 2 s he comes %d later", got)
		}
		a.charge("us", 2*time.Second)
		if got := a.later("us", atOnce); got != often {
			t.Errorf("after 4 s he comes %d later, want %d", got, often)
		}
		if got := a.later("them", atOnce); got != atOnce {
			t.Errorf("others come %d later", got)
		}
		time.Sleep(lately) // 4 s are 1.5 by then
		if got := a.later("us", seldom); got != seldom {
			t.Errorf("ten seconds later he comes %d later", got)
		}
		for i := range 1001 {
			a.charge(fmt.Sprint(i), time.Millisecond)
		}
		time.Sleep(10 * lately)
		a.charge("new", time.Second)
		if len(a.had) != 1 {
			t.Errorf("%d are remembered who had nothing for long", len(a.had)-1)
		}
	})
}

// TestWorkComesLaterTheLongerItLasts: .3 s is long, a second very long; who is late already
// never comes sooner.
func TestWorkComesLaterTheLongerItLasts(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		took  time.Duration
		steps int
		want  int
	}{{0, atOnce, atOnce}, {long - 1, seldom, seldom}, {long, atOnce, lasting}, {long, often, often}, {veryLong - 1,
		seldom, lasting},
		{veryLong, atOnce, often}} {
		if got := later(tt.took, tt.steps); got != tt.want {
			t.Errorf("%v, %d steps: %d, want %d", tt.took, tt.steps, got, tt.want)
		}
	}
}

// TestAsideHandsOn errors and panics to who asked, and charges him for the time.
func TestAsideHandsOn(t *testing.T) {
	t.Parallel()
	l, broken := New(), errors.New("broken")
	if err := l.Aside(l.Engine, Party{Person: "jo"}, func() error { return broken }); !errors.Is(err, broken) {
		t.Errorf("%v", err)
	}
	if _, charged := l.had.had["jo"]; !charged {
		t.Error("nobody was charged")
	}
	defer func() {
		if r := recover(); r == nil || !strings.HasPrefix(fmt.Sprint(r), "lost") {
			t.Errorf("the panic came as %v", r)
		}
	}()
	l.Aside(l.Live, Party{}, func() error { panic("lost") })
}

// TestLanesHaveNamesOfTheirOwn, and those that last are the engine's.
func TestLanesHaveNamesOfTheirOwn(t *testing.T) {
	t.Parallel()
	l, seen := New(), map[string]bool{}
	lasting := 0
	for _, x := range l.List() {
		if x.Name == "" || seen[x.Name] || x.Running < 1 {
			t.Errorf("%q, twice %v, %d run", x.Name, seen[x.Name], x.Running)
		}
		seen[x.Name] = true
		if l.Lasts(x) {
			lasting += x.Running
		}
		if x == l.Engine { // a board works on every core
			lasting += x.Running * (runtime.NumCPU() - 1)
		}
	}
	if lasting != Threads() {
		t.Errorf("%d threads for %d places", Threads(), lasting)
	}
}
