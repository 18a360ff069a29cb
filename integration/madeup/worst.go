package madeup

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"overhang/internal/stress/call"
)

// WorstCall is the largest call that is read: a call of the book whose every man has as many
// rules and conditions as he may, of which none counts and all have to be judged.
func WorstCall(name string) string {
	p, err := call.Lookup(name)
	if err != nil {
		panic(err)
	}
	c := *p.Call
	c.Name = "x"
	c.Defenders = crowded(p.Call.Defenders)
	for i := range 12 - len(c.Checks) {
		c.Checks = append(c.Checks, call.Check{Name: fmt.Sprint("x", i), When: "trips and single", Defenders: c.Defenders})
	}
	raw, err := c.Encode()
	if err != nil {
		panic(err)
	}
	return string(raw)
}

// facts are what a rule may ask of a set: every one doubles what there is to try of a man.
var facts = []string{"trips", "twins", "single", "bunch", "strong", "tight end", "trips away", "twins away",
	"single away", "bunch away", "tight end away", "empty", "two backs"}

// crowded are defenders with as many rules as are read: all that is tried of them is just
// below what is not.
func crowded(ds []call.Defender) (out []call.Defender) {
	for _, d := range ds {
		var more []call.Rule
		for i := range 38 - len(d.Rules) {
			a, b := facts[i%len(facts)], facts[(i+1+i/len(facts))%len(facts)]
			more = append(more, call.Rule{When: a + " and " + b + " and #" + strconv.Itoa(1+i%3) + " absent", Then: "hold"})
		}
		d.Rules = append(more, d.Rules...)
		out = append(out, d)
	}
	return out
}

// AsksAnswers is a question for the changes of a call against a picture.
func AsksAnswers(body string) string {
	raw, err := json.Marshal(map[string]any{"call": json.RawMessage(body), "set_name": "3x1",
		"picture": "P1 post@12, P2 dig@12"})
	if err != nil {
		panic(err)
	}
	return strings.TrimSpace(string(raw))
}

// Entangled is a call of the book one of whose men has rules that tell more depths apart than
// can all be tried; it holds together as the book's does.
func Entangled(name string) string {
	p, err := call.Lookup(name)
	if err != nil {
		panic(err)
	}
	c := *p.Call
	c.Name = "entangled"
	c.Defenders = slices.Clone(c.Defenders)
	d := &c.Defenders[len(c.Defenders)-1]
	var more []call.Rule
	for _, who := range []string{"#1", "#2", "#3", "far #1"} {
		for k := range 8 {
			more = append(more, call.Rule{When: fmt.Sprintf("empty and two backs and %s out before %g", who, 1+float64(k)/2),
				Then: "hold"})
		}
	}
	d.Rules = append(more, d.Rules...)
	raw, err := c.Encode()
	if err != nil {
		panic(err)
	}
	return string(raw)
}
