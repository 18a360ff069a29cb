package httpapi_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"overhang/internal/demo"
)

// TestTryIsTheBoard holds a trial against the board: the call as it is gives up what its
// cells say, here and against everything; a man moved as the sweep moves him gives up
// what the sweep says; a break moved is the break sweep's; a bad question says what is
// wrong and nothing is stored.
func TestTryIsTheBoard(t *testing.T) {
	c, store := serve(t)
	if err := demo.Load(t.Context(), store); err != nil {
		t.Fatal(err)
	}
	const cell = `"concept":"flood","set_name":"3x1","family":"dropback"`
	board := c.must(200, "GET", alder+"/stress", "")
	row, want := cellOf(board, "cover 1", map[string]any{"concept": "flood", "set_name": "3x1"})
	got := c.must(200, "POST", alder+"/try", `{"call":"cover 1",`+cell+`,"timeline":true,"everything":true}`)
	play := got["play"].(map[string]any)
	for _, k := range []string{"stress", "gives_up_points", "success", "explosive"} {
		if !alike(play[k], want[k]) {
			t.Errorf("%s is %v, on the board %v", k, play[k], want[k])
		}
	}
	if !alike(got["all"].(map[string]any)["gives_up_points"], row["gives_up_points"]) {
		t.Errorf("over everything %v, on the board %v", got["all"], row["gives_up_points"])
	}
	for i, x := range got["everything"].([]any) {
		x := x.(map[string]any)
		_, on := cellOf(board, "cover 1", x)
		if on == nil || !alike(x["gives_up_points"], on["gives_up_points"]) {
			t.Errorf("concept %d %v: %v, on the board %v", i, x["concept"], x["gives_up_points"], on)
		}
	}

	// Every man stands at the snap where the line of his alignment says.
	stored := c.must(200, "GET", "/v1/programs/demo/calls?name=cover+1", "")["items"].([]any)[0]
	body := stored.(map[string]any)["body"].(map[string]any)
	line := play["timeline"].(map[string]any)
	man, mover := stanceOf(line, "strong overhang")
	if man["landmark"] != true || man["on"] != "#2" {
		t.Fatalf("the strong overhang stands on %v", man)
	}
	align := lineOf(body, man)
	before := mover[0].(float64)
	align["offset_yd"] = align["offset_yd"].(float64) + 2
	raw, _ := json.Marshal(body)
	tried := func(call, more string) map[string]any {
		return c.must(200, "POST", alder+"/try", `{"call":`+call+`,`+cell+more+`}`)["play"].(map[string]any)
	}
	wider := tried(string(raw), `,"timeline":true`)
	_, moved := stanceOf(wider["timeline"].(map[string]any), "strong overhang")
	if d := (moved[0].(float64) - before) * man["out"].(float64); math.Abs(d-2) > 1e-9 {
		t.Errorf("two yards wider is %v yards", d)
	}
	deep := tried(`"cover 1"`, `,"picture":"P1 go, P2 sail@8, P3 flat@3, B1 go"`)
	if alike(deep["stress"], play["stress"]) {
		t.Error("a sail at 8 gives up what one at 12 does")
	}
	for _, bad := range []struct {
		status int
		body   string
		words  string
	}{
		{422, `{"call":"cover 1",` + cell + `,"picture":"P1 nonsense@5"}`, "nonsense"},
		{404, `{"call":"no such call",` + cell + `}`, "no such call"},
		{404, `{"call":"cover 1","concept":"no such","set_name":"3x1","family":"dropback"}`, "no such"},
		{422, `{"call":{"name":"x","defenders":[]},` + cell + `}`, "defender"},
	} {
		answer, said := c.do("POST", alder+"/try", bad.body)
		if answer.StatusCode != bad.status || !strings.Contains(said, bad.words) {
			t.Errorf("%s: %d %s", bad.body, answer.StatusCode, said)
		}
	}
}

// stanceOf is a man of a timeline, and where he is at the snap.
func stanceOf(line map[string]any, name string) (stance map[string]any, at []any) {
	for j, n := range line["defense"].([]any) {
		if n == name {
			frame := line["frames"].([]any)[0].(map[string]any)
			return line["men"].([]any)[j].(map[string]any), frame["defense"].([]any)[j].([]any)
		}
	}
	return nil, nil
}

// lineOf follows a stance into a call: /defenders/N, the line of its alignment.
func lineOf(body, stance map[string]any) map[string]any {
	var at any = body
	for _, step := range strings.Split(stance["place"].(string), "/")[1:] {
		switch x := at.(type) {
		case map[string]any:
			at = x[step]
		case []any:
			at = x[int(step[0]-'0')]
		}
	}
	return at.(map[string]any)["align"].([]any)[int(stance["line"].(float64))].(map[string]any)
}
