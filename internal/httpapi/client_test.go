package httpapi_test

import (
	"context"
	"testing"

	questions "overhang/client"
	"overhang/internal/tags"
)

// TestTypedClient: the client made from the document asks with filters of its own
// type, and reads answers and problems into types.
func TestTypedClient(t *testing.T) {
	t.Parallel()
	c, s := serve(t)
	load(t, s, "a", 1, many(many([]tags.Play(nil), 12, snap(1, 3, 4, 5, "run", "rush")), 8, snap(1, 3, 4, 0, "pass",
		"incomplete"))...)
	load(t, s, "b", 2, many(nil, 10, snap(1, 3, 8, 9, "pass", "complete"))...)
	ctx := context.Background()
	typed, err := questions.NewClientWithResponses(c.url)
	if err != nil {
		t.Fatal(err)
	}
	ten, err := typed.TendenciesWithResponse(ctx, "ours", &questions.TendenciesParams{By: "distance_band",
		Filters: &questions.Filters{Down: ptr("3"), Called: ptr("run,pass"), Opponent: ptr("o1")}})
	if err != nil || ten.JSON200 == nil {
		t.Fatalf("%v %s", err, ten.Body)
	}
	if x := ten.JSON200.Cells[0]; ten.JSON200.Total != 30 || *x.Keys["distance_band"] != "4-6" || x.Plays != 20 ||
		x.Runs != 12 {
		t.Errorf("tendencies: %+v", ten.JSON200)
	}
	tells, err := typed.TellsWithResponse(ctx, "ours", &questions.TellsParams{By: ptr("distance_band")})
	if err != nil || tells.JSON200 == nil || len(tells.JSON200.Tells) != 1 || !tells.JSON200.Tells[0].Stands {
		t.Errorf("tells: %v %s; want one that stands: 12 of 20 runs against 0 of 10", err, tells.Body)
	}
	trend, err := typed.TrendWithResponse(ctx, "ours", &questions.TrendParams{Recent: ptr(1)})
	if err != nil || trend.JSON200 == nil || trend.JSON200.AfterPlays != 10 || trend.JSON200.BeforePlays != 20 {
		t.Errorf("trend: %v %s", err, trend.Body)
	}
	est, err := typed.EstimatesWithResponse(ctx, "ours", &questions.EstimatesParams{Chain: "distance_band,down"})
	if err != nil || est.JSON200 == nil || len(est.JSON200.Items) != 2 || len(est.JSON200.Items[0].From) != 4 {
		t.Errorf("estimates: %v %s", err, est.Body)
	}
	bad, err := typed.TendenciesWithResponse(ctx, "ours", &questions.TendenciesParams{By: "mood"})
	if err != nil || bad.ApplicationproblemJSON400 == nil || len(*bad.ApplicationproblemJSON400.Errors) != 1 ||
		(*bad.ApplicationproblemJSON400.Errors)[0].Field != "by" {
		t.Errorf("an unknown dimension: %v %s", err, bad.Body)
	}
}
