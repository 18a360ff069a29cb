package tendency

import (
	"math"
	"testing"
)

// TestScore: every count comes to its own rate. 81 of 263 and its interval are Newcombe
// 1998, Stat. Med. 17:857, Table I (as in TestWilson); means and shares of small whole
// numbers are arithmetic.
func TestScore(t *testing.T) {
	t.Parallel()
	s := Score(Counts{Plays: 81, Of: 263, Runs: 30, Passes: 10, GainSum: 35, GainKnown: 10, Successes: 3, SuccessKnown: 4,
		Explosives: 1, ExplosiveKnown: 5,
		Completions: 1, Throws: 2, DepthSum: 27, DepthKnown: 2, TimeSum: 7.5, TimeKnown: 3})
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"share", s.Share.Share, 81. / 263}, {"share from", s.Share.Low, .2553}, {"share to", s.Share.High, .3662},
		{"runs", s.Run.Share, .75},
		{"gain", *s.MeanGain, 3.5}, {"success", s.Success.Share, .75}, {"explosive", s.Explosive.Share, .2},
		{"complete", s.Completion.Share, .5},
		{"depth", *s.MeanDepth, 13.5}, {"time", *s.MeanTime, 2.5},
		{"bits of 3 to 1", s.RunPassBits, .8112781245}, // -(3/4 log2 3/4 + 1/4 log2 1/4), CALC
	} {
		if math.Abs(c.got-c.want) > 5e-5 {
			t.Errorf("%s: %.6f, want %.6f", c.what, c.got, c.want)
		}
	}
	if s.Thin {
		t.Error("81 plays are thin")
	}
}

// TestScoreOfNothing: what nobody knows has no rate, and a share of nothing may be any.
func TestScoreOfNothing(t *testing.T) {
	t.Parallel()
	s := Score(Counts{})
	if s.Success != nil || s.Explosive != nil || s.Completion != nil || s.MeanGain != nil || s.MeanDepth != nil ||
		s.MeanTime != nil {
		t.Errorf("something is known of nothing: %+v", s)
	}
	if s.Share != (Rate{0, 0, 1}) || s.Run != (Rate{0, 0, 1}) || !s.Thin {
		t.Errorf("of nothing: share %+v, runs %+v, thin %v; want 0, from 0 to 1, thin", s.Share, s.Run, s.Thin)
	}
}
