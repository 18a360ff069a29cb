package main

import (
	"strings"
	"testing"
	"time"
)

// TestProgressLines: without a terminal there is a line every ten seconds, with how far it is,
// the rate and the time left.
func TestProgressLines(t *testing.T) {
	var out strings.Builder
	at := time.Unix(0, 0)
	tell := lines(&out, "plays.csv", "plays", func() time.Time { return at })
	for done := 0; done <= 10_000; done += 1000 { // 500 a second
		tell(done, 10_000)
		at = at.Add(2 * time.Second)
	}
	want := "plays.csv: 5000 of 10000 plays, 500 a second, 10s left\n" +
		"plays.csv: 10000 of 10000 plays, 500 a second, 0s left\n"
	if out.String() != want {
		t.Errorf("said\n%swant\n%s", out.String(), want)
	}
}
