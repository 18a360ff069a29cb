package stress

import (
	"context"

	"overhang/internal/stress/call"
	"overhang/internal/stress/motion"
)

// evaluated plays a call for somebody who waits as long as it takes.
func evaluated(compiled *call.Compiled, pl *motion.Play, set Setting) *Result {
	return must(Evaluate(context.Background(), compiled, pl, set))
}

// checked is Check in the same way.
func checked(p *call.Compiled) []call.Fault { return must(Check(context.Background(), p)) }

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}
