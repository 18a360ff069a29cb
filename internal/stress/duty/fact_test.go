package duty_test

import (
	"strings"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// shown is a play in which each fact holds for a man on the play side, and one in which
// it does not (trade notes 5.4 for the sets; common practice, no source).
var shown = map[string]struct{ yes, no picture.Spec }{
	"trips":     {set("3x1", "dropback"), set("2x2", "dropback")},
	"twins":     {set("2x2", "dropback"), set("3x1", "dropback")},
	"single":    {away("3x1"), away("2x2")},
	"empty":     {set("empty 3x2", "dropback"), set("2x2", "dropback")},
	"two backs": {set("2x1", "dropback"), set("2x2", "dropback")},
	"bunch":     {set("bunch", "dropback"), set("3x1", "dropback")},
	"strong":    {set("3x1", "dropback"), away("3x1")},
	"tight end": {set("2x1", "dropback"), set("2x2", "dropback")},
	"run":       {set("2x2", "play_action"), set("2x2", "dropback")},
}

func set(name, family string) picture.Spec {
	return picture.Spec{Set: name, Family: family, Routes: "P1 go"}
}

// away marks a play whose man stands on the side without the concept.
func away(name string) picture.Spec {
	return picture.Spec{Set: name, Family: "dropback", Routes: "B1 go"}
}

// TestFacts plays one call in which each fact of the rule language is true and one where
// it is false: a fact without its judge, its words or its two plays is named here.
func TestFacts(t *testing.T) {
	t.Parallel()
	for _, f := range call.Facts() {
		word := f.String()
		plays, ok := shown[word]
		if word == "" || !ok {
			t.Errorf("fact %d %q: no word, or no two plays in this test", f, word)
			continue
		}
		if said := f.Said("your side"); said == "" || strings.Contains(said, "{") {
			t.Errorf("fact %q has no words to a player: %q", word, said)
		}
		for spec, want := range map[picture.Spec]bool{plays.yes: true, plays.no: false} {
			if got := takes(t, word, spec); got != want {
				t.Errorf("%q against %s %s: %v, want %v", word, spec.Set, spec.Family, got, want)
			}
			if f.Sided() { // from the other side the same is true of the side away
				spec.Left = true
				if got := takes(t, word, spec); got != want {
					t.Errorf("%q against %s turned round: %v, want %v", word, spec.Set, got, want)
				}
			}
		}
	}
	if len(shown) != len(call.Facts()) {
		t.Errorf("%d plays for %d facts", len(shown), len(call.Facts()))
	}
}

// takes plays a call of one man who takes #1 when the fact holds.
func takes(t *testing.T, word string, spec picture.Spec) bool {
	t.Helper()
	speed := field.Speed{Max: 7.8, Tau: 0.7}
	spec.Receiver, spec.Back = speed, speed
	pic, err := picture.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	strong := duty.StrongSide(pic, 1)
	side, mine := "strong", pic.Play
	if strings.HasPrefix(spec.Routes, "B") {
		mine = -pic.Play
	}
	if mine != strong {
		side = "weak"
	}
	compiled, err := call.Compile(&call.Call{Name: "one man", Defenders: []call.Defender{{Name: "man", Side: side,
		Align: []call.Align{{On: "ball", Depth: 5}},
		Rules: []call.Rule{{When: word, Then: "man #1"}, {When: "else", Then: "hold"}}}}})
	if err != nil {
		t.Fatal(err)
	}
	return duty.New(compiled, pic, 1, 7).Men[0].Owed(0)[0].Verb == call.Man
}
