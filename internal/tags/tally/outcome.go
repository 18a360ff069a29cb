package tally

import (
	"slices"
	"strconv"
)

// An outcome is everything about a play that a cell counts, but for its gain and the throw's
// depth and time.
type outcome struct {
	run, pass                          bool
	judged, success                    bool
	first, touchdown                   bool
	explosive, explosiveKnown          bool
	throw, complete, intercepted, sack bool
	scramble                           bool
	unsituated                         bool
}

// Where a play's dimensions stand that make its outcome.
var (
	atCalled, atGain         = slices.Index(OfPlay, "called"), slices.Index(OfPlay, "gain")
	atSuccess, atFirst       = slices.Index(OfPlay, "success"), slices.Index(OfPlay, "first_down")
	atTouchdown, atExplosive = slices.Index(OfPlay, "touchdown"), slices.Index(OfPlay, "explosive")
	atResult                 = slices.Index(OfPlay, "result")
	atDown, atDistance       = slices.Index(OfPlay, "down"), slices.Index(OfPlay, "distance")
	atDepth, atTime          = slices.Index(OfPlay, "throw_depth"), slices.Index(OfPlay, "throw_time")
)

// outcomeOf reads a play's words; a success is known where it is yes or no, which is where
// it was judged, and so is an explosive play.
func outcomeOf(words [][]byte) (outcome, error) {
	is := func(at int, word string) bool { return string(words[at]) == word }
	o := outcome{run: is(atCalled, "run"), pass: is(atCalled, "pass"),
		judged: words[atSuccess] != nil, success: is(atSuccess, "yes"), first: is(atFirst, "yes"),
		touchdown: is(atTouchdown, "yes"), explosive: is(atExplosive, "yes"), explosiveKnown: words[atExplosive] != nil,
		complete: is(atResult, "complete"), intercepted: is(atResult, "intercepted"), sack: is(atResult, "sack"),
		scramble: is(atResult, "scramble"), unsituated: words[atDown] == nil || words[atDistance] == nil}
	o.throw = o.complete || o.intercepted || is(atResult, "incomplete")
	if words[atGain] == nil {
		return o, nil
	}
	_, err := strconv.ParseInt(string(words[atGain]), 10, 16)
	return o, err
}
