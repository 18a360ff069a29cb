package drawing

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

var gallery = flag.String("gallery", "", "write every drawing of TestGallery into this folder, to be looked at")

// made is the date of the PDFs in tests.
var made = time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)

// A pair is a call against a picture, as somebody would ask for it.
type pair struct {
	name, call, set, family, concept, routes string
	left                                     bool
	level                                    field.Level
	fromMiddle, toGoal                       field.Yards
}

func (p pair) picture(t testing.TB) (*picture.Picture, *motion.Params) {
	t.Helper()
	if p.level == 0 {
		p.level = field.HighSchool
	}
	if p.family == "" {
		p.family = "dropback"
	}
	params := motion.Defaults(p.level)
	pic, err := picture.New(picture.Spec{Set: p.set, Family: p.family, Concept: p.concept, Routes: p.routes, Left: p.left,
		Spot: field.Spot{Level: p.level, FromMiddle: p.fromMiddle, YardsToGoal: p.toGoal}, Receiver: params.Receiver,
		Back: params.Back})
	if err != nil {
		t.Fatal(err)
	}
	return pic, &params
}

func (p pair) play(t testing.TB) *stress.Result {
	t.Helper()
	plan, err := call.Lookup(p.call)
	if err != nil {
		t.Fatal(err)
	}
	pic, params := p.picture(t)
	r, err := stress.Evaluate(t.Context(), plan, stress.Prepare(pic, params), stress.Usual)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// pairs are drawn and looked at.
var pairs = []pair{
	{name: "01-smash-cover2", call: "cover 2 spot", set: "2x2", concept: "smash", routes: "P1 hitch@5, P2 corner@12"},
	{name: "02-postdig-quarters", call: "quarters match", set: "2x2", routes: "P1 post@12, P2 dig@12"},
	{name: "03-flood-cover3", call: "cover 3 spot", set: "3x1", concept: "flood", routes: "P1 go, P2 sail@12, P3 flat@3"},
	{name: "04-bunch-snag-palms", call: "palms", set: "bunch", concept: "snag",
		routes: "P1 spot@5, P2 corner@10, P3 flat@2"},
	{name: "05-empty-stick-cover1", call: "cover 1", set: "empty 3x2", concept: "stick", family: "quick",
		routes: "P1 go, P2 arrow@3, P3 stick@6, B1 slant@3, B2 flat@2"},
	{name: "06-trips-closed-solo", call: "quarters match, solo", set: "3x1 closed",
		routes: "P1 dig@12, P2 seam, P3 flat@3, B1 over@12"},
	{name: "07-two-backs-tampa", call: "tampa 2", set: "2x1", concept: "all-curl",
		routes: "P1 curl@12, P2 hook@7, B1 curl@12, back flat@2 play side, back2 flat@2 to the B side"},
	{name: "08-redzone-cover0", call: "cover 0", set: "2x2", routes: "P1 slant@3, P2 flat@2, B1 fade", family: "quick",
		toGoal: 8, level: field.College},
	{name: "09-boot-cover3sky", call: "cover 3 sky", set: "2x1", family: "boot",
		routes: "B1 go, P1 corner@12, P2 flat@2 after a fake block, back flat@2 to the B side"},
	{name: "10-rpo-quarters", call: "quarters match", set: "2x2", family: "rpo", routes: "P1 glance@7, P2 flat@2"},
	{name: "11-mesh-cover3match", call: "cover 3 match", set: "2x2", concept: "mesh",
		routes: "P1 corner@10, P2 over@6, B2 under@5, back flat@2 play side, B1 post@12"},
	{name: "12-verts-cover6", call: "cover 6", set: "3x1", concept: "four verticals trips",
		routes: "P1 go, P2 seam, P3 bender@12, B1 go"},
	{name: "13-quads-firezone", call: "fire zone", set: "empty 4x1",
		routes: "P1 hitch@6, P2 seam, P3 out@5, P4 stick@6, B1 slant@3", left: true},
	{name: "14-lefthash-palms", call: "palms", set: "2x2 stack", routes: "P1 slant@3, P2 wheel@3", left: true,
		level: field.Pro, fromMiddle: -3.08, toGoal: 62},
	{name: "15-righthash-twoman", call: "two-man", set: "3x1 attached",
		routes: "P1 comeback@15, P2 dig@12, P3 corner@10, B1 go", fromMiddle: 6.67, level: field.College, toGoal: 37},
	{name: "16-run-cover3", call: "cover 3 sky", set: "2x2 attached", family: "run", concept: "inside zone",
		routes: "P1 block"},
	{name: "17-pa-cover1rat", call: "cover 1 rat", set: "2x1", family: "play_action",
		routes: "P1 post@15, P2 over@15, B1 dig@14"},
	{name: "18-redzone-tampa", call: "tampa 2", set: "bunch", routes: "P1 spot@5, P2 corner@8, P3 flat@2", toGoal: 12},
}

// write keeps a drawing for -gallery.
func write(t *testing.T, name string, draw func(*bytes.Buffer) error) {
	t.Helper()
	var b bytes.Buffer
	if err := draw(&b); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if *gallery != "" {
		if err := os.WriteFile(filepath.Join(*gallery, name), b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// TestGallery lays every pair out as concept, call and finding, at 60 and 180 mm,
// in both writers: none may fail, and with -gallery they can be looked at.
func TestGallery(t *testing.T) {
	for _, p := range pairs {
		r := p.play(t)
		pic, _ := p.picture(t)
		scenes := map[string]Scene{"concept": Concept(pic, Options{Caption: true}), "call": Call(r, Options{Caption: true})}
		if len(r.Findings) > 0 {
			scenes["finding"] = Finding(r, 0, Options{Caption: true})
			scenes["turned"] = Finding(r, 0, Options{Caption: true, FromDefense: true})
		}
		main := min(0, len(r.Findings)-1)
		line, play := Time(r, main), Play(r, main, Options{Caption: true})
		for _, w := range []float64{60, 180} {
			for what, s := range scenes {
				name := fmt.Sprintf("%s-%s-%.0f", p.name, what, w)
				write(t, name+".svg", func(b *bytes.Buffer) error { return s.SVG(b, w) })
				write(t, name+".pdf", func(b *bytes.Buffer) error { return s.WritePDF(b, w, made) })
			}
			name := fmt.Sprintf("%s-timeline-%.0f", p.name, w)
			write(t, name+".svg", func(b *bytes.Buffer) error { return line.List(w).SVG(b) })
			write(t, name+".pdf", func(b *bytes.Buffer) error { return line.List(w).WritePDF(b, made) })
			write(t, fmt.Sprintf("%s-playback-%.0f.svg", p.name, w), func(b *bytes.Buffer) error { return play.SVG(b, w, 1) })
		}
	}
	for _, w := range []float64{60, 180} {
		name := fmt.Sprintf("legend-%.0f", w)
		write(t, name+".svg", func(b *bytes.Buffer) error { return Legend(w).SVG(b) })
		write(t, name+".pdf", func(b *bytes.Buffer) error { return Legend(w).WritePDF(b, made) })
	}
}
