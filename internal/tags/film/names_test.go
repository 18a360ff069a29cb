package film

import (
	"bytes"
	"encoding/json"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/uuid"

	"overhang/internal/tags"
)

// FuzzNames writes a name wherever one can stand in a metadata track and in JSON, and reads it
// back: the track by what the standard says of its blocks and lines (W3C WebVTT, section 4.1),
// JSON by the standard library. What is no UTF-8 comes back as U+FFFD, all else as it was.
func FuzzNames(f *testing.F) {
	for _, n := range []string{"Emoji \U0001F3C8 invented", "\U0001D4D0\U0010FFFF", "\u0590\u202e123\u202c",
		"e\u0301\u0323",
		"\x00\x01\x1b[2J\x7f\u0085\u2028\u2029", "\u200b\ufeff", "\xed\xa0\x80", "\xff\xfe", "x\xf0\x9f", "\ufffe\uffff",
		"-->", "a\n\n00:00.000 --> 00:01.000\nb", "\r", "NOTE", "WEBVTT", "{}", `"`, `\u0000`, "]]>--><script>&#0;",
		strings.Repeat("\U0001F3C8", 950), ""} {
		f.Add(n)
	}
	f.Fuzz(func(t *testing.T, name string) {
		one := 7
		play := &tags.Play{Number: one, Status: "counted", Concept: &name, SetName: &name, Note: &name, Coverage: &name}
		cues := []Cue{{tags.Clip{Meta: tags.Meta{ID: uuid.UUID{1}}, StartS: 1, EndS: 2, Number: &one, Angle: &name}, play},
			{tags.Clip{Meta: tags.Meta{ID: uuid.UUID{2}}, StartS: 3, EndS: 4, Angle: &name}, nil}}
		var b bytes.Buffer
		if err := WriteVTT(&b, cues); err != nil {
			t.Fatal(err)
		}
		want := strings.ToValidUTF8(name, "\ufffd")
		blocks := regexp.MustCompile(`(\r\n|\n|\r){2,}`).Split(strings.TrimSpace(b.String()), -1)
		if len(blocks) != 1+len(cues) || blocks[0] != "WEBVTT" || !utf8.ValidString(b.String()) {
			t.Fatalf("%q: %d blocks", name, len(blocks))
		}
		for _, cue := range blocks[1:] {
			lines := regexp.MustCompile(`\r\n|\n|\r`).Split(cue, -1)
			if len(lines) != 3 || strings.Count(cue, "-->") != 1 || !timings.MatchString(lines[1]) {
				t.Fatalf("%q: a cue of %d lines:\n%s", name, len(lines), cue)
			}
			var n struct{ Angle string }
			if err := json.Unmarshal([]byte(lines[2]), &n); err != nil || runsOfReplacement(n.Angle) != runsOfReplacement(want) {
				t.Errorf("%q came back as %q, %v", name, n.Angle, err)
			}
		}
		raw, err := json.Marshal(map[string]any{name: play})
		var of map[string]tags.Play
		if err == nil {
			err = json.Unmarshal(raw, &of)
		}
		if err != nil || len(of) != 1 {
			t.Fatalf("JSON of %q: %v", name, err)
		}
		for key, p := range of {
			if runsOfReplacement(key) != runsOfReplacement(want) || runsOfReplacement(*p.Note) != runsOfReplacement(want) {
				t.Errorf("JSON of %q came back as %q with %q", name, key, *p.Note)
			}
		}
	})
}

// runsOfReplacement makes one U+FFFD of several: how many stand for bytes that are no text is
// each writer's own.
func runsOfReplacement(s string) string {
	for strings.Contains(s, "\ufffd\ufffd") {
		s = strings.ReplaceAll(s, "\ufffd\ufffd", "\ufffd")
	}
	return s
}
