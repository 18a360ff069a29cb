package httpapi_test

import (
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"strings"
	"testing"
	"time"

	"overhang/internal/httpapi"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

// An association is a server with an association, league, and programs p1 to p6 of a game each:
// 1st downs that were run and 3rd downs that were thrown. Each owner, o1 to o6, and the
// association's, chair, have signed in.
type association struct {
	*client
	t             *testing.T
	store, walled *postgres.Store
	owners        map[string]*browser
}

func associated(t *testing.T) *association {
	t.Helper()
	store, _ := postgrestest.New(t)
	walled := behindWalls(t, store)
	a := &association{clientFor(t, walled, httpapi.WithLogin(store)), t, store, walled, map[string]*browser{}}
	a.person(store, "league", "chair", staff.Owner)
	a.signIn("chair")
	for i := 1; i <= 6; i++ {
		code, owner := fmt.Sprintf("p%d", i), fmt.Sprintf("o%d", i)
		a.person(store, code, owner, staff.Owner)
		a.signIn(owner)
		a.plays(code, "game", 6, 4)
	}
	return a
}

func (a *association) signIn(login string) {
	a.owners[login] = browse(a.t, a.url)
	a.owners[login].post(200, "/sign-in", url.Values{"login": {login}, "password": {password}})
}

// plays stores a game of a program.
func (a *association) plays(code, game string, runs, passes int) {
	a.t.Helper()
	ctx := context.Background()
	p, err := a.store.Program(ctx, code)
	if err != nil {
		a.t.Fatal(err)
	}
	g, err := a.store.EnsureGame(ctx, p.ID, tags.Opponent{Code: "secret-" + code, Name: "Invented"}, "",
		tags.Game{Label: game})
	if err != nil {
		a.t.Fatal(err)
	}
	var plays []tags.Play
	for n := range runs + passes {
		down, called := 1, "run"
		if n >= runs {
			down, called = 3, "pass"
		}
		gain, distance := 5, 10
		plays = append(plays, tags.Play{GameID: g.ID, OpponentID: g.OpponentID, Number: n + 1, Status: "counted",
			Down: &down, DistanceYd: &distance, Called: &called, GainYd: &gain})
	}
	if _, err := a.store.LoadPlays(ctx, p.ID, plays); err != nil {
		a.t.Fatal(err)
	}
}

const league = "/v1/programs/league"

// A leagueTold is an association's answer as a client reads it.
type leagueTold struct {
	Programs, Total int
	LeftOut         int    `json:"cells_left_out"`
	WhyEmpty        string `json:"why_empty"`
	Cells           []struct {
		Keys            map[string]*string
		Programs, Plays int
		Runs, Passes    int
		ShareLow        float64 `json:"share_low"`
		MeanGain        float64 `json:"mean_gain_yd"`
		Successes       int
	}
}

func (a *association) ask(query string) (out leagueTold) {
	a.t.Helper()
	raw := a.owners["chair"].json(200, "GET", league+"/league?"+query, "")
	if strings.Contains(raw, "secret-") {
		a.t.Errorf("an opponent's code is told: %s", raw)
	}
	if err := json.Unmarshal([]byte(raw), &out); err != nil {
		a.t.Fatal(err)
	}
	return out
}

func (a *association) gives(owners ...int) {
	a.t.Helper()
	for _, i := range owners {
		a.owners[fmt.Sprintf("o%d", i)].json(204, "PUT", fmt.Sprintf("/v1/programs/p%d/shares/league", i), "")
	}
}

// TestShares: given, counted; taken back, gone at once, from plays in memory too; a program that
// gave nothing is never seen. The counts are those of the plays stored: 6 runs on 1st and 4
// passes on 3rd down a program; 5 of 10 yards are a success on 1st down, none on 3rd.
func TestShares(t *testing.T) {
	t.Parallel()
	a := associated(t)
	a.owners["chair"].json(204, "PUT", league+"/association", `{"open":true}`)
	a.gives(1, 2, 3, 4)
	if got := a.ask("by=down,called"); len(got.Cells) > 0 || got.Programs != 4 {
		t.Errorf("four programs are counted: %+v", got)
	}
	a.gives(5, 5)
	check := func(plays, programs int) {
		t.Helper()
		got := a.ask("by=down,called")
		if len(got.Cells) != 2 || got.Programs != programs || got.Total != plays {
			t.Fatalf("%+v, want 2 cells and %d plays of %d programs", got, plays, programs)
		}
		runs := got.Cells[0]
		if *runs.Keys["down"] != "1" || runs.Programs != programs || runs.Runs != runs.Plays || runs.Passes != 0 ||
			runs.Successes != runs.Plays || runs.MeanGain != 5 || got.Cells[1].Successes != 0 || runs.ShareLow <= 0 {
			t.Errorf("runs on 1st down: %+v", runs)
		}
	}
	check(50, 5)
	if got := a.ask("by=called&down=3"); got.Total != 20 || len(got.Cells) != 1 || got.Cells[0].Passes != 20 {
		t.Errorf("on 3rd down: %+v", got)
	}
	a.kept(5)
	check(50, 5)
	a.plays("p1", "next game", 2, 1) // told although its plays are kept
	check(53, 5)
	a.gives(6)
	check(63, 6)
	a.owners["o1"].json(204, "DELETE", "/v1/programs/p1/shares/league", "")
	check(50, 5)
	a.owners["o2"].json(204, "DELETE", "/v1/programs/p2/shares/league", "")
	if got := a.ask("by=down"); len(got.Cells) > 0 || got.Programs != 4 {
		t.Errorf("taken back, and counted: %+v", got)
	}
	a.gives(1, 2)
	a.owners["chair"].json(204, "PUT", league+"/association", `{"open":false}`)
	a.owners["chair"].json(204, "PUT", league+"/association", `{"open":true}`)
	if got := a.ask("by=down"); got.Programs != 0 {
		t.Errorf("an association that was closed kept %d shares", got.Programs)
	}
}

// kept asks until the plays of so many programs are in the server's memory.
func (a *association) kept(programs int) {
	a.t.Helper()
	for end := time.Now().Add(time.Minute); a.walled.Kept().Images < programs; time.Sleep(5 * time.Millisecond) {
		if a.ask("by=down"); time.Now().After(end) {
			a.t.Fatalf("plays of %d programs are kept", a.walled.Kept().Images)
		}
	}
}

// TestShareLeavesOut: what five programs have is counted, what four have is not, nor can it be
// had by asking otherwise: the row that it would be the rest of loses another cell.
func TestShareLeavesOut(t *testing.T) {
	t.Parallel()
	a := associated(t)
	a.owners["chair"].json(204, "PUT", league+"/association", `{"open":true}`)
	a.gives(1, 2, 3, 4, 5, 6)
	for i := 1; i <= 4; i++ {
		a.week(fmt.Sprintf("p%d", i))
	}
	whole := a.ask("by=down")
	parts := a.ask("by=down,week")
	if whole.Total != 60 || parts.LeftOut == 0 {
		t.Errorf("of %d plays in %d cells, by week %d in %d, %d left out", whole.Total, len(whole.Cells), parts.Total,
			len(parts.Cells), parts.LeftOut)
	}
	if rest := whole.Total - parts.Total; rest == 40 || rest == 20 { // the four programs' plays, or the two others'
		t.Errorf("the rest is what was left out: %d plays", rest)
	}
	if got := a.ask("by=down&week=7"); len(got.Cells) > 0 || got.WhyEmpty == "" {
		t.Errorf("the four programs' week: %+v", got)
	}
	o := a.owners["chair"]
	for query, field := range map[string]string{"by=opponent": "opponent", "by=down&game=x": "game",
		"by=down,called,hash&half=first": "by", "by=nonsense": "by", "by=down&down=9": "down"} {
		if raw := o.json(400, "GET", league+"/league?"+query, ""); !strings.Contains(raw, `"`+field+`"`) {
			t.Errorf("%s: %s", query, raw)
		}
	}
}

// week puts a program's game into week 7.
func (a *association) week(code string) {
	a.t.Helper()
	ctx := context.Background()
	p, _ := a.store.Program(ctx, code)
	games, err := a.store.Games().List(ctx, p.ID, postgres.Page{Limit: 1})
	if err != nil {
		a.t.Fatal(err)
	}
	seven := 7
	games[0].Week = &seven
	if _, err := a.store.Games().Replace(ctx, p.ID, games[0].ID, games[0].Version, games[0]); err != nil {
		a.t.Fatal(err)
	}
}

// TestWhoShares: an owner gives and takes back, in person; what takes no shares is answered as
// what never was; what one gave is another's neither to take back nor to see.
func TestWhoShares(t *testing.T) {
	t.Parallel()
	a := associated(t)
	token := a.person(a.store, "p1", "second", staff.Owner)
	a.person(a.store, "p1", "rita", staff.Coordinator)
	a.signIn("rita")
	const give = "/v1/programs/p1/shares/"
	head, rita, other, chair := a.owners["o1"], a.owners["rita"], a.owners["o2"], a.owners["chair"]
	never := head.json(404, "PUT", give+"never", "")
	closed := head.json(404, "PUT", give+"league", "")
	if strings.ReplaceAll(never, "never", "X") != strings.ReplaceAll(closed, "league", "X") {
		t.Errorf("a program that takes no shares: %s\none that never was: %s", closed, never)
	}
	chair.json(204, "PUT", league+"/association", `{"open":true}`)
	rita.json(403, "PUT", give+"league", "")
	rita.json(403, "PUT", "/v1/programs/p1/association", `{"open":true}`)
	token.must(403, "PUT", give+"league", "")
	head.json(204, "PUT", give+"league", "")
	rita.json(403, "DELETE", give+"league", "")
	token.must(403, "DELETE", give+"league", "")
	other.json(404, "DELETE", give+"league", "")
	other.json(404, "DELETE", "/v1/programs/p2/shares/league", "")
	other.json(404, "GET", league+"/league?by=down", "")
	if raw := rita.json(200, "GET", "/v1/programs/p1/shares", ""); !strings.Contains(raw, `"code":"league"`) {
		t.Errorf("what was given is not told: %s", raw)
	}
	if raw := chair.json(200, "GET", league+"/shares", ""); !strings.Contains(raw, `"code":"p1"`) {
		t.Errorf("what was received is not told: %s", raw)
	}
	if raw := other.json(200, "GET", "/v1/programs/p2/shares", ""); strings.Contains(raw, "league") ||
		strings.Contains(raw, "p1") {
		t.Errorf("another program's share is told: %s", raw)
	}
	chair.json(404, "GET", "/v1/programs/p1/tendencies?by=down", "")
	head.json(204, "DELETE", give+"league", "")
	head.json(404, "DELETE", give+"league", "")
	page := head.post(200, "/programs/p1/staff", url.Values{"do": {"give"}, "association": {"league"}})
	if !strings.Contains(page, "Take back from Invented league") {
		t.Error("the page does not show the share")
	}
	head.post(422, "/programs/p1/staff", url.Values{"do": {"give"}, "association": {"never"}})
	rita.post(403, "/programs/p1/staff", url.Values{"do": {"take"}, "association": {"league"}})
	page = head.post(200, "/programs/p1/staff", url.Values{"do": {"take"}, "association": {"league"}})
	if strings.Contains(page, "Take back") {
		t.Error("the page shows the share that was taken back")
	}
}
