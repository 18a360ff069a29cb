package cli

import (
	"bytes"
	"strings"
	"testing"
)

// scout is a program with a command of its own flags and one that takes files.
func scout() *Program {
	return &Program{Name: "scout", About: "Scout looks.", Commands: []Command{
		{Name: "", Files: false, About: "serve", Flags: []Flag{{Name: "addr", Value: "ADDRESS", About: "where"}}},
		{Name: "print", Args: "REPORT ...", About: "print reports",
			Flags: []Flag{{Name: "plan", Value: "NAME", About: "which"}}},
	}}
}

// TestAnswer: what a program says by itself ends it with 0, a mistake with 2 on the other
// stream and the nearest word; what is right is left to the command.
func TestAnswer(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		args      string
		code      int
		done      bool
		out, errs string // parts of what is said
	}{
		{"help", 0, true, "print reports", ""},
		{"help print", 0, true, "-plan NAME", ""},
		{"version", 0, true, "scout ", ""},
		{"completion", 0, true, `print) words="-plan"`, ""},
		{"completion -h", 0, true, "print reports", ""},
		{"version -nosuch", 2, true, "", "takes nothing"},
		{"prnit", 2, true, "", "(the nearest is print)"},
		{"print -plan cloud board", 0, false, "", ""},
		{"print -paln cloud", 2, true, "", "-plan"},
		{"print -plan", 2, true, "", "-plan needs NAME"},
		{"-addr :8080", 0, false, "", ""},
		{"-addr :8080 more", 2, true, "", "one word too many"},
	} {
		var out, errs bytes.Buffer
		code, done := scout().Answer(strings.Fields(c.args), &out, &errs)
		if code != c.code || done != c.done || !strings.Contains(out.String(), c.out) ||
			!strings.Contains(errs.String(), c.errs) || (c.errs == "") != (errs.Len() == 0) {
			t.Errorf("%q: %d, %v, out %q, errors %q; want %d, %v, %q, %q", c.args, code, done, out.String(), errs.String(),
				c.code, c.done, c.out, c.errs)
		}
	}
}

// TestCompletion: every word and flag that can be typed first is offered first, once.
func TestCompletion(t *testing.T) {
	t.Parallel()
	script := scout().completion()
	_, rest, _ := strings.Cut(script, `local words="`)
	words, _, _ := strings.Cut(rest, `"`)
	if words != "help version completion print -addr" {
		t.Errorf("first are offered %q", words)
	}
}

// TestNear: a word mistyped by a letter is found, one that is like none is not.
func TestNear(t *testing.T) {
	t.Parallel()
	for typed, want := range map[string]string{"exprot": "export", "backp": "backup", "zzzzzzzz": ""} {
		if got := near(typed, []string{"export", "backup"}); !strings.Contains(got, want) || want == "" && got != "" {
			t.Errorf("%q: %q, want %q", typed, got, want)
		}
	}
}
