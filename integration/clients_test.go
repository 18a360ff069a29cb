package integration

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"overhang/client"
)

var clients = flag.Bool("clients", false, "TestClients: make the TypeScript client too (npm, its registry)")

// TestClients: a client that oapi-codegen made of the document in Go and one that
// openapi-typescript and openapi-fetch make in TypeScript, checked by its compiler, make the same
// thirteen calls and count the same.
func TestClients(t *testing.T) {
	p := start(t, database(t), "-demo")
	want := goCalls(t, p.url)
	if n := len(strings.Split(strings.TrimSpace(want), "\n")); n != 13 {
		t.Errorf("%d calls, want 13", n)
	}
	t.Logf("in Go:\n%s", want)
	if !*clients {
		t.Log("the TypeScript client is made by make clients")
		return
	}
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("testdata/clients")); err != nil {
		t.Fatal(err)
	}
	document, err := filepath.Abs("../api/openapi.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var got string
	for _, args := range [][]string{{"npm", "install", "--no-audit", "--no-fund", "--ignore-scripts"},
		{"npx", "openapi-typescript", document, "-o", "schema.d.ts", "--default-non-nullable=false"}, {"npx", "tsc"},
		{"node", "calls.js", p.url}} {
		cmd := exec.Command(args[0], args[1:]...)
		cmd.Dir = dir
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("%v: %v\n%s%s", args, err, out, stderr(err))
		}
		got = string(out)
	}
	if got != want {
		t.Errorf("in TypeScript:\n%s", got)
	}
}

// goCalls makes the calls of testdata/clients/calls.ts.
func goCalls(t *testing.T, url string) string {
	t.Helper()
	c, err := client.NewClientWithResponses(url)
	if err != nil {
		t.Fatal(err)
	}
	ctx, against, down, limit := context.Background(), "alder", "3", 7
	filters := &client.Filters{Opponent: &against, Down: &down}
	var out strings.Builder
	say := func(name string, counted any, err error) {
		if err != nil {
			t.Fatal(name, err)
		}
		fmt.Fprintln(&out, name, counted)
	}
	programs, err := c.ListProgramsWithResponse(ctx)
	say("programs", programs.JSON200.Items[0].Code, err)
	opponents, err := c.ListOpponentsWithResponse(ctx, "demo", nil)
	say("opponents", len(opponents.JSON200.Items), err)
	games, err := c.ListGamesWithResponse(ctx, "demo", nil)
	say("games", len(games.JSON200.Items), err)
	plays, err := c.ListPlaysWithResponse(ctx, "demo", &client.ListPlaysParams{Limit: &limit})
	say("plays", len(plays.JSON200.Items), err)
	tendencies, err := c.TendenciesWithResponse(ctx, "demo", &client.TendenciesParams{By: "called", Filters: filters})
	say("tendencies", tendencies.JSON200.Total, err)
	tells, err := c.TellsWithResponse(ctx, "demo", &client.TellsParams{Filters: filters})
	say("tells", tells.JSON200.Asked, err)
	trend, err := c.TrendWithResponse(ctx, "demo", &client.TrendParams{Filters: filters})
	say("trend", trend.JSON200.BeforePlays, err)
	estimates, err := c.EstimatesWithResponse(ctx, "demo", &client.EstimatesParams{Chain: "down,distance_band",
		Filters: filters})
	say("estimates", len(estimates.JSON200.Items), err)
	depths, err := c.DepthsWithResponse(ctx, "demo", &client.DepthsParams{Filters: filters})
	say("depths", len(depths.JSON200.Items), err)
	likeness, err := c.LikenessWithResponse(ctx, "demo", against, nil)
	say("likeness", len(likeness.JSON200.Items), err)
	concepts, err := c.ConceptsWithResponse(ctx, "demo", against, nil)
	say("concepts", len(concepts.JSON200.Items), err)
	board, err := c.StressBoardWithResponse(ctx, "demo", against, &client.StressBoardParams{Filters: &client.Filters{
		Down: &down}})
	say("board", board.JSON200.Plays, err)
	var q client.StressQuestion
	if err := json.Unmarshal([]byte(`{"call": "quarters match", "set_name": "2x2", "picture": "P1 post@12, P2 dig@12"}`),
		&q); err != nil {
		t.Fatal(err)
	}
	stress, err := c.StressWithResponse(ctx, q)
	say("stress", len(stress.JSON200.Findings), err)
	return out.String()
}
