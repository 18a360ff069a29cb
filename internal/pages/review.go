package pages

import (
	"net/url"
	"slices"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/study"
	"overhang/internal/tags"
)

// A Review is the page of a plan held against what happened.
type Review struct {
	Opponent tags.Opponent
	Base     string // where the opponent's pages are
	Half     string // the half that was asked for, "" both
	*ask.ReviewAnswer
	document string
}

// NewReview makes the page of an answer.
func NewReview(o tags.Opponent, base, program, half string, a *ask.ReviewAnswer) *Review {
	return &Review{o, base, half, a, "/v1" + program + "/plans/" + a.Head.ID.String() + "/review?"}
}

// Asked is the review in another format, of the same half.
func (r *Review) Asked(format string) string {
	q := url.Values{"format": {format}}
	if r.Half != "" {
		q.Set("half", r.Half)
	}
	return r.document + q.Encode()
}

// Meant is how often a call was to be made, -1 where it was not of the plan.
func (r *Review) Meant(c plan.CallRun) float64 {
	switch {
	case c.Own != nil:
		return *c.Own
	case c.Recommended != nil:
		return *c.Recommended
	}
	return -1
}

// Telling are the concepts of a situation worth a line, none where no play has its concept tagged.
func (r *Review) Telling(x plan.Reviewed) (out []plan.ConceptRun) {
	for _, k := range x.Concepts {
		if x.Ran > 0 && k.Telling() {
			out = append(out, k)
		}
	}
	return out
}

// Found are the threats they found, or met at least twice.
func (r *Review) Found() []plan.FoundIn {
	return slices.DeleteFunc(slices.Clone(r.Review.Threats.Conflicts), func(f plan.FoundIn) bool {
		return f.Found == 0 && f.Met < 2
	})
}

// Share is x out of n with its interval.
func (r *Review) Share(x, n int) plan.Fraction { return plan.Of(x, n) }

// A SelfScout is the page of what our own calls say about us.
type SelfScout struct {
	Home   string // where the program's pages are
	Report any    // the API's answer
	Tells  study.Tells
}

// Surest are the tells that stand.
func (s *SelfScout) Surest() []study.Tell {
	return slices.DeleteFunc(slices.Clone(s.Tells.Tells), func(t study.Tell) bool { return !t.Stands })
}

// Do says what a tell of ours gives away.
func (s *SelfScout) Do(t study.Tell) string {
	switch {
	case t.Of == "blitz" && t.Outcome == "yes":
		return "blitz"
	case t.Of == "blitz":
		return "don't blitz"
	}
	return "call " + t.Outcome
}
