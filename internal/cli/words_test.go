package cli

import (
	"bytes"
	"os/exec"
	"strings"
	"testing"
)

// TestHelpNeverActs: help stands anywhere among the flags, in any of its four spellings, and
// wins over every mistake beside it.
func TestHelpNeverActs(t *testing.T) {
	t.Parallel()
	for _, h := range []string{"-h", "--h", "-help", "--help"} {
		for _, args := range [][]string{{h}, {"print", h}, {"print", "-plan", "x", h}, {"print", h, "-nosuch"},
			{"-addr", h}, {"-nosuch", h}, {"version", h}, {"completion", h}} {
			var out, errs bytes.Buffer
			if code, done := scout().Answer(args, &out, &errs); code != 0 || !done || out.Len() == 0 || errs.Len() > 0 {
				t.Errorf("%v: %d, %v, %q, %q; want help", args, code, done, out.String(), errs.String())
			}
		}
	}
}

// TestRefusals end with 2, name what is wrong, and say that nothing was done.
func TestRefusals(t *testing.T) {
	t.Parallel()
	for args, says := range map[string]string{"help prnit": `"prnit" (the nearest is print)`,
		"help zzzzzzzz": `"zzzzzzzz"`,
		"version 2":     `version takes nothing: there is no "2"`, "nosuch": `no command "nosuch"`,
		"-":     `"-" is one word too many`,
		"-addr": "-addr needs ADDRESS", "--addr": "-addr needs ADDRESS", "-adr x": `no flag "-adr" (the nearest is -addr)`,
		"--adr=x": `no flag "--adr=x" (the nearest is -addr)`, "print -addr x": `no flag "-addr"`,
		"more": `no command "more"`} {
		var out, errs bytes.Buffer
		code, done := scout().Answer(strings.Fields(args), &out, &errs)
		if code != 2 || !done || out.Len() > 0 || !strings.Contains(errs.String(), says) ||
			!strings.HasSuffix(errs.String(), "Nothing was done.\n") || !strings.HasPrefix(errs.String(), "scout: ") {
			t.Errorf("%q: %d, %v, %q; want 2 and %s", args, code, done, errs.String(), says)
		}
	}
}

// TestWhatIsRightIsLeftToTheCommand, a flag's value whatever it looks like.
func TestWhatIsRightIsLeftToTheCommand(t *testing.T) {
	t.Parallel()
	for _, args := range [][]string{{}, {"-addr", ":80"}, {"--addr", ":80"}, {"-addr=:80"}, {"--addr=:80"}, {"-addr",
		"-x"}, {"print"},
		{"print", "a", "b"}, {"print", "-plan", "-nosuch"}, {"print", "a", "-plan=x", "b"}, {"print", "-"}} {
		var out, errs bytes.Buffer
		if code, done := scout().Answer(args, &out, &errs); code != 0 || done || out.Len()+errs.Len() > 0 {
			t.Errorf("%v: %d, %v, %q, %q", args, code, done, out.String(), errs.String())
		}
	}
}

// TestFilesNeedNoCommand: a program whose words are files takes any word, but its own first.
func TestFilesNeedNoCommand(t *testing.T) {
	t.Parallel()
	p := &Program{Name: "read", Commands: []Command{{Files: true, Args: "FILE ...", Flags: []Flag{{Name: "dry"}}}}}
	for args, want := range map[string]bool{"plays.csv": false, "-dry plays.csv other.csv": false, "help": true,
		"version":           true,
		"plays.csv -nosuch": true} {
		var out, errs bytes.Buffer
		if _, done := p.Answer(strings.Fields(args), &out, &errs); done != want {
			t.Errorf("%q is answered: %v, want %v", args, done, want)
		}
	}
	only := &Program{Name: "do", Commands: []Command{{Name: "this"}, {Name: "that"}}}
	var out, errs bytes.Buffer
	if code, done := only.Answer([]string{"-x"}, &out, &errs); code != 2 || !done || !strings.Contains(errs.String(),
		"say what to do") {
		t.Errorf("a program that does nothing by itself: %d, %q", code, errs.String())
	}
}

// TestHelpListsEverything that can be typed, with what it is for.
func TestHelpListsEverything(t *testing.T) {
	t.Parallel()
	var out, errs bytes.Buffer
	scout().Answer([]string{"help"}, &out, &errs)
	for _, must := range []string{"Scout looks.", "scout [FLAGS]", "scout print [FLAGS] REPORT ...", "-addr ADDRESS",
		"where",
		"scout help [COMMAND], scout version, scout completion"} {
		if !strings.Contains(out.String(), must) {
			t.Errorf("help lacks %q: %s", must, out.String())
		}
	}
	out.Reset()
	scout().Answer([]string{"help", "print"}, &out, &errs)
	if s := out.String(); !strings.Contains(s, "-plan NAME") || strings.Contains(s, "-addr") {
		t.Errorf("help of one command: %s", s)
	}
}

// TestCompletionIsAScript that bash reads, and that offers a command's own flags behind it.
func TestCompletionIsAScript(t *testing.T) {
	t.Parallel()
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("no bash on this machine")
	}
	for typed, want := range map[string]string{"": "help version completion print -addr", "pr": "print",
		"print -": "-plan"} {
		words := strings.Split("scout "+typed, " ")
		script := scout().completion() + "\ncd /var/empty 2>/dev/null || cd /proc/self/task\nCOMP_WORDS=(" + quoted(words) +
			")\nCOMP_CWORD=" + string(rune('0'+len(words)-1)) + "\n_scout\necho \"${COMPREPLY[*]}\"\n"
		got, err := exec.Command(bash, "-c", script).CombinedOutput()
		if err != nil || !strings.Contains(" "+strings.TrimSpace(string(got))+" ", " "+want+" ") {
			t.Errorf("%q: %s, %v; want %s", typed, got, err, want)
		}
	}
}

func quoted(words []string) string { return "'" + strings.Join(words, "' '") + "'" }

// TestVersion names the toolchain, whatever the build knows of itself.
func TestVersion(t *testing.T) {
	t.Parallel()
	if v := version(); !strings.Contains(v, "go1.") {
		t.Errorf("%q", v)
	}
}

// TestNearestIsNotFarther: of known words the one with the fewest letters changed, none where
// more than half would have to.
func TestNearestIsNotFarther(t *testing.T) {
	t.Parallel()
	known := []string{"backup", "restore", "export", "import"}
	for typed, want := range map[string]string{"imprt": "import", "exprt": "export", "bakcup": "backup",
		"restroe": "restore",
		"import":  "import", "xyz": "", "": ""} {
		if got := near(typed, known); want == "" && got != "" || !strings.Contains(got, want) {
			t.Errorf("%q: %q, want %q", typed, got, want)
		}
	}
}
