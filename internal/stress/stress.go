package stress

import (
	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/motion"
)

// A Result is a call played against a picture.
type Result struct {
	Game     *motion.Game
	Findings []Finding
}

// Evaluate plays a call against a prepared picture. balance is where the
// strong side of the call lies when both sides have as many receivers.
func Evaluate(plan *call.Plan, pl *motion.Play, balance int) *Result {
	s := duty.New(plan, pl.Picture, balance, plan.Call.Vertical)
	g := motion.NewGame(pl, s)
	return &Result{Game: g, Findings: find(g, &defaultTuning)}
}
