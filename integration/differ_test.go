package integration

import (
	"fmt"
	"os"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// blindGame is a game of two clips that two tagged blind: on the first they differ by down,
// routes and touchdown, on the second they agree.
func blindGame(t *testing.T, api string) (game string, clips []string) {
	t.Helper()
	o := listed(t, api+"/opponents")[0]["id"].(string)
	game = send(t, 201, api+"/games", "application/json", `{"opponent_id":"`+o+`","label":"blind"}`)["id"].(string)
	film := send(t, 201, api+"/films", "application/json", `{"game_id":"`+game+
		`","location":"https://films.example/blind.webm"}`)["id"].(string)
	send(t, 200, api+"/films/"+film+"/clips", "text/csv", "start_s,end_s,number\n1,3,1\n6,8,2\n")
	for _, c := range listed(t, api+"/clips?film_id="+film) {
		clips = append(clips, c["id"].(string))
	}
	if len(clips) != 2 {
		t.Fatalf("%d clips, want 2", len(clips))
	}
	for i, clip := range clips {
		for _, who := range []string{"head", "<b>helper"} {
			down, route := 1, "go"
			if i == 0 && who != "head" {
				down, route = 2, "post"
			}
			send(t, 201, api+"/blind-tags", "application/json", fmt.Sprintf(`{"clip_id":%q,"analyst":%q,"tags":{"down":%d,`+
				`"yards_to_goal":75,"called":"pass","touchdown":%t,"routes":[`+
				`{"side":"left","number":1,"eligible":"receiver","route":%q}]}}`,
				clip, who, down, down == 2, route))
		}
	}
	return game, clips
}

// TestWhereWeDiffer settles a snap by keyboard: what is chosen is what is saved, an open choice
// and tags that somebody changed meanwhile are said and nothing is overwritten.
func TestWhereWeDiffer(t *testing.T) {
	axe, err := os.ReadFile("testdata/axe.min.js")
	if err != nil {
		t.Fatal(err)
	}
	p, ctx, ask, do := demoPages(t)
	api := p.url + "/v1/programs/demo"
	game, clips := blindGame(t, api)
	send(t, 201, api+"/plays", "application/json", // by number, as the tagging page does
		`{"game_id":"`+game+`","number":2,"status":"counted","down":3,"note":"ours","touchdown":false,"routes":[]}`)
	d := &desk{t: t, p: p, ctx: ctx, ask: ask, api: api, game: game}
	page := "/programs/demo/games/" + game + "/differ"
	d.open("/programs/demo/games/" + game)
	do(chromedp.Click(`a[href="`+page+`"]`), chromedp.WaitVisible("form.differ"))
	looked(t, ctx, ask, p.url, [2]string{"where-we-differ", page}, string(axe))
	seen(t, ctx, 390, "dark", p.url+page)
	first := `document.getElementById("clip-` + clips[0] + `")`
	button, alert := first+`.querySelector("button")`, first+`.querySelector("[role=alert]").textContent`
	const texts = `.querySelectorAll("label")].map(l => l.innerText.replace(/\s+/g, " ").trim()).join("|")`
	if got := ask(`[...` + first + texts); got !=
		"2 <b>helper|1 head|Leave it unknown|left #1 post <b>helper|left #1 go head|Leave it unknown|"+
			"yes <b>helper|no head" {
		t.Errorf("the choices are %s", got)
	}
	ask(button + `.focus(), ""`)
	do(chromedp.KeyEvent(kb.Enter))
	d.until(alert, "Choose one for Down.")
	do(chromedp.KeyEvent(" ")) // the first choice has the focus: the helper's down
	ask(first + `.querySelector("[data-field=routes] input").focus(), ""`)
	do(chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.Enter)) // from the helper's routes to the head's
	d.until(alert, "Choose one for Touchdown.")
	do(chromedp.KeyEvent(" "), chromedp.KeyEvent(kb.Enter)) // the helper's: every snap has it, one way or the other
	d.until(first+`.querySelector("[role=status]").textContent`, "Saved as snap 1.")
	got := d.play(1)
	if got["down"] != 2.0 || got["routes"].([]any)[0].(map[string]any)["route"] != "go" || got["called"] != "pass" ||
		got["touchdown"] != true {
		t.Errorf("settled is %v", got)
	}
	keep(t, ctx, "differ-settled")
	d.replace(1, map[string]any{"gain_yd": 7})
	ask(button + `.click(), ""`)
	d.until(alert+`.startsWith("Someone else changed this snap's tags")`, "true")
	if got := d.play(1); got["gain_yd"] != 7.0 {
		t.Errorf("overwritten: %v", got)
	}
	ask(`document.querySelector("#clip-` + clips[1] + ` button").click(), ""`)
	d.until(`document.querySelector("#clip-`+clips[1]+` [role=status]").textContent`, "Saved as snap 2.")
	if got := d.play(2); got["down"] != 1.0 || got["note"] != "ours" {
		t.Errorf("what both tagged is %v", got)
	}
}
