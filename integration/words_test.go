package integration

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// british are spellings that American football does not use (Merriam-Webster lists
// each with its American form; from memory).
var british = regexp.MustCompile(`(?i)offence|defence|colour|centre|centring|licence|behaviour|favour|neighbour|` +
	`\bgrey|millimetre|\bcatalogue|\btowards\b|\blearnt|\bper cent\b|labelled\b|judgement|` +
	`(anonym|recogn|organ|maxim|minim|normal|standard|summar|initial|serial|real)is(e|ed|es|ing|ation)\b`)

// apart is a percent sign away from its number: 95% stands as one word (a style guide's rule for
// American text, from memory). What follows must not be the letter of a format.
var apart = regexp.MustCompile(`[0-9] %([^a-zA-Z0-9.+#%-]|$)|[0-9] %#"|[0-9dfvs] %%`)

// retired are words and sentences that were said another way before and come back no more.
var retired = regexp.MustCompile(`gives up least to|What would cure|[Mm]end what is marked|tick that you are sure|` +
	`[Ww]hoever runs the server|(?i:(call|game)s? of ours)|is meant[?]|plays of theirs|Who is asked to be in two places|` +
	`wherever he goes|on his hip|leverage on the wrong side|[Nn]obody owes P|is open by %|` +
	`the back who (comes|goes)|where that man is missing|otherwise, and until then|your place is|` +
	`of either side, when|Pass shell|Least is given up|is the name of no call|` +
	`are a success here|may be given again|cannot occur: the values|[Aa]sked to be in two places|` +
	`[Nn]othing (of it |of yours )?(was|is) stored|Take it in|report a hole`)

// abroad are the places where a British spelling is somebody else's: names of data
// files, a published schema, the spellings the API still takes, third parties' text.
var abroad = regexp.MustCompile(`fixture_(three|by)_offence|tabular-data-package|British spelling, still taken`)

// TestAmericanEnglish holds everything that is served, printed or documented (all
// tracked text) to American spelling.
func TestAmericanEnglish(t *testing.T) {
	out, err := exec.Command("git", "-C", "..", "ls-files").Output()
	if err != nil {
		t.Skip("not a git checkout: the list of files is git's")
	}
	for _, name := range strings.Fields(string(out)) {
		if !textFile(name) || abroad.MatchString(name) {
			continue
		}
		text, err := os.ReadFile(filepath.Join("..", name))
		if err != nil {
			continue // deleted in the working tree
		}
		for i, line := range strings.Split(string(text), "\n") {
			if british.MatchString(line) && !abroad.MatchString(line) {
				t.Errorf("%s:%d: %q is British spelling", name, i+1, british.FindString(line))
			}
			if retired.MatchString(line) && !strings.HasSuffix(name, "_test.go") && name != "CHANGELOG.md" {
				t.Errorf("%s:%d: %q is said another way", name, i+1, retired.FindString(line))
			}
			if apart.MatchString(line) {
				t.Errorf("%s:%d: %q: no space before the percent sign", name, i+1, apart.FindString(line))
			}
		}
	}
}

// textFile reports whether a person or a script reads the file as it stands.
func textFile(name string) bool {
	if name == "integration/words_test.go" || strings.Contains(name, "vendor") || strings.Contains(name, "axe") ||
		strings.Contains(name, "OFL") {
		return false
	}
	switch filepath.Ext(name) {
	case ".go", ".md", ".yaml", ".html", ".css", ".js", ".ts", ".json", ".svg", ".sh", ".sql", ".csv", ".txt":
		return true
	}
	return slices.Contains([]string{"Makefile", "Dockerfile", ".ci/run"}, name)
}
