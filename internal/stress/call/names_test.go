package call

import (
	"slices"
	"testing"
)

// named are the names of the men of a call, before the snap and in a check.
func named(t *testing.T, name string, n Names) (base []string, p *Compiled) {
	t.Helper()
	p, err := Lookup(name)
	if err != nil {
		t.Fatal(err)
	}
	p = p.Naming(n)
	for _, s := range p.Slots {
		base = append(base, s.Name)
	}
	return base, p
}

// Mike, Nickel, Will, FS: common practice, no source.
func TestNaming(t *testing.T) {
	ours := Names{"middle": "Mike", "strong overhang": "Nickel", "weak hook": "Will", "corner": "CB"}
	names, p := named(t, "palms", ours)
	for _, want := range []string{"Mike", "Nickel", "Will", "strong CB", "weak CB", "strong safety"} {
		if !slices.Contains(names, want) {
			t.Errorf("nobody is called %q among %v", want, names)
		}
	}
	for _, s := range p.Slots {
		switch s.Taught {
		case "strong corner":
			if s.Group() != "both CBs" || s.Title() != "CB" {
				t.Errorf("both corners are told as %q, %q", s.Group(), s.Title())
			}
		case "middle":
			if !s.Is("Mike") || !s.Is("middle") || s.Is("Will") {
				t.Error("the middle does not answer to both of his names")
			}
		}
	}
	for _, ch := range p.Checks {
		for _, s := range ch.All {
			if s.Taught == "middle" && s.Name != "Mike" {
				t.Errorf("check %s calls him %q", ch.Name, s.Name)
			}
		}
	}
}

// Two men of one call under one word are told apart by their sides.
func TestNamingShared(t *testing.T) {
	names, p := named(t, "quarters match", Names{"strong safety": "S", "weak safety": "S"})
	if !slices.Contains(names, "strong S") || !slices.Contains(names, "weak S") {
		t.Errorf("the safeties are %v", names)
	}
	if len(slices.Compact(slices.Sorted(slices.Values(names)))) != len(p.Slots) {
		t.Errorf("two men share a name: %v", names)
	}
	again, err := Compile(p.Call)
	if err != nil {
		t.Fatal(err)
	}
	for i := range again.Slots {
		if again.Slots[i].Name != names[i] {
			t.Errorf("read again he is %q, was %q", again.Slots[i].Name, names[i])
		}
	}
	for _, b := range Book() {
		if b.Call.names != nil {
			t.Fatal("the built-in book was renamed")
		}
	}
}
