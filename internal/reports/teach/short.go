package teach

import (
	"regexp"
	"strings"
)

// A cut is a way of saying the same in fewer words.
type cut struct {
	long  *regexp.Regexp
	short string
}

func cuts(pairs ...string) (out []cut) {
	for i := 0; i < len(pairs); i += 2 {
		out = append(out, cut{regexp.MustCompile(pairs[i]), pairs[i+1]})
	}
	return out
}

// shorter is how a coach says it in a hurry, the longer ways first.
var shorter = cuts(
	`(a|A)nything else, and until they declare`, `${1}nything else`,
	`: play the `, `: `,
	`(man|stay with) (#\d on the other side|#\d|the back [a-z ]*?)( until he declares)?, (inside|outside) leverage`,
	`$1 $2 $4$3`,
	`play under (#\d on the other side|#\d|the back [a-z ]*?) \(no deep ball\)`, `stay under $1`,
	` \(not your man\)`, `, not your man`,
	`releases \(breaks, or goes past [\d.]+ yards?\)`, `releases`,
	`goes vertical past`, `vertical past`,
	`turns up after a break before`, `double move under`,
	`breaks short of`, `short of`,
	`breaks (out|in) or stops or slants before`, `$1, stop or slant under`,
	`breaks (out|in) or stops before`, `$1 or stop under`,
	`(or )?slants before`, `${1}slant before`,
	`breaks out or breaks in (before|past)`, `out or in $1`,
	`breaks (out|in) (before|past)`, `$1 $2`,
	`stops (before|past)`, `stop $1`,
	`(out|in|stop|slant|switch) before ([\d.]+)`, `$1 under $2`,
	`(out|in|stop) under [\d.]+ yards? or double move under`, `$1 or double move under`,
	`unless ([^,]*), unless `, `unless $1 or `,
	`(#\d)(, [\d.]+ yards? deep(?:, \w+ technique|, press)?), when #\d lines up attached`, `$1$2, if attached`,
	`lines up attached`, `is attached`,
	`the end man on the line`, `the end man`,
	`stays in to block`, `blocks`,
	`there's `, ``,
	`(#\d) on the other side`, `far $1`,
	`has not declared`, `not declared`,
	`: from ([\d.]+)`, `: $1`,
	`: from the ball`, `: the ball`,
	`from ([\d.]+) yards? to ([\d.]+) yards? deep`, `$1 to $2 deep`,
	`everything deeper than`, `all past`,
	`Drop to`, `Drop`,
	`; sink no deeper than`, `, sink to`,
	`; stay as deep as the deepest receiver`, `, deep as the deepest`,
	`up to ([\d.]+) yards? deep`, `up to $1`,
	`([\d.]+) yards?`, `$1`,
)

// Short says the same in fewer words, for a page that holds all of a man's calls. No two
// rules of a man become one (a test does that for every rule of the built-in book).
func Short(s string) string {
	for _, c := range shorter {
		s = c.long.ReplaceAllString(s, c.short)
	}
	return strings.Join(strings.Fields(s), " ")
}
