package intake

import (
	"fmt"

	"overhang/internal/stress/picture"
	"overhang/internal/tags"
	"overhang/internal/tags/starter"
)

// place finds for every set word of the sheet that nobody knows the set it is drawn from: the
// word stays what the sheet says, the set is assumed and said.
func (r *sheetReader) place() {
	hints := map[string]*picture.Hint{}
	for _, rec := range r.records {
		p := &rec.Play
		if p.SetName == nil || picture.HasSet(*p.SetName) {
			continue
		}
		key := tags.Fold(*p.SetName)
		if hints[key] == nil {
			hints[key] = &picture.Hint{Word: *p.SetName}
		}
		hints[key].Saw(wordOf(p.Concept), wordOf(p.Personnel), 1)
	}
	r.drawn = map[string]string{}
	for key, h := range hints {
		set, why := picture.Assume(*h)
		r.drawn[key] = set
		r.drawnAs(key, set, why)
	}
}

// wordOf is a tag's word, "" where it is unknown.
func wordOf(tag *string) string {
	if tag == nil {
		return ""
	}
	return *tag
}

// drawnAs says it with the word.
func (r *sheetReader) drawnAs(key, set, why string) {
	ws := r.out.Proposal.Words
	said := fmt.Sprintf("; pictures are drawn as %s, marked assumed (%s): name it an alias of the set it is", set, why)
	for i := range ws {
		if ws[i].Field == "set_name" && tags.Fold(ws[i].As) == key {
			ws[i].Why += said
		}
	}
}

// setOf is the set a play is drawn from: its own, the one assumed for its word, or where it
// has none the one its concept is mostly drawn from.
func (r *sheetReader) setOf(p *tags.Play) string {
	if p.SetName != nil {
		if set := r.drawn[tags.Fold(*p.SetName)]; set != "" {
			return set
		}
		return *p.SetName
	}
	var h picture.Hint
	h.Saw(wordOf(p.Concept), wordOf(p.Personnel), 1)
	set, _ := picture.Assume(h)
	return set
}

// assume gives a play the routes its concept has in the library, marked so.
func (r *sheetReader) assume(rec *Record) {
	p := &rec.Play
	if p.Concept == nil || p.RoutesAssumed || len(p.Routes) > 0 || runConcepts[*p.Concept] || p.Status != "counted" {
		return
	}
	p.Routes = starter.Routes(*p.Concept, r.setOf(p), tags.AssumedSide(p))
	if p.RoutesAssumed = len(p.Routes) > 0; p.RoutesAssumed {
		return
	}
	if p.Called != nil && *p.Called == "pass" {
		r.out.Proposal.Routeless++
	}
}
