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
	`Until then, and if nothing above fits`, `Else`,
	`(?i:take) (#\d|#\d on the other side|the back who comes to your side|the back who goes to the other side) `+
		`man to man, wherever he goes`, `man on $1`,
	`play under (#\d|the back who comes to your side) \(a deep ball to him is not yours\)`, `under $1, no deep ball`,
	`sink toward (#\d) \(he is not yours\)`, `sink to $1, not your man`,
	`releases \(breaks, or gets to ([\d.]+) yd\)`, `releases`,
	`gets to ([\d.]+) yd before any break`, `vertical past $1`,
	`turns up after a break before ([\d.]+) yd`, `up after a break under $1`,
	`breaks out or breaks in or stops before ([\d.]+) yd`, `short: out, in or stop under $1`,
	`breaks in or stops before ([\d.]+) yd`, `in or stop under $1`,
	`breaks out or stops before ([\d.]+) yd`, `out or stop under $1`,
	`breaks out or breaks in before ([\d.]+) yd`, `out or in under $1`,
	`breaks (out|in) before ([\d.]+) yd`, `$1 under $2`,
	`stops before ([\d.]+) yd`, `stop under $1`,
	`breaks (out|in) past ([\d.]+) yd`, `$1 past $2`,
	`change places before ([\d.]+) yd`, `switch under $1`,
	`unless ([^,]*), unless `, `unless $1 or `,
	`lines up next to the line`, `is tight`,
	`stays in to block`, `blocks`,
	`there is no #(\d)`, `no #$1`,
	`there are three or more receivers on (your|the other) side`, `three on $1 side`,
	`there are two receivers on (your|the other) side`, `two on $1 side`,
	`there is one receiver on (your|the other) side`, `one on $1 side`,
	`the back who comes to your side`, `the back to you`,
	`the back who goes to the other side`, `the back away`,
	`has not shown yet`, `not declared`,
	`\(where that man is missing: ([\d.]+) yd from the ball on your side\)`, `(if none: $1 out)`,
	`the middle between #2 and the end man`, `the apex of #2 and the end man`,
	`from ([\d.]+) yd out to`, `$1 out to`,
	`from ([\d.]+) yd past the ball to`, `$1 past the ball to`,
	`zone: from the ball to`, `zone: the ball to`,
	`from ([\d.]+) yd to ([\d.]+) yd deep`, `$1 to $2 deep`,
	`everything deeper than ([\d.]+) yd`, `all past $1`,
	`Drop to ([\d.]+) yd out`, `Drop $1 out`,
	`to ([\d.]+) yd out`, `to $1 out`,
	`up to ([\d.]+) yd deep`, `up to $1`,
	`sink no deeper than ([\d.]+) yd`, `no deeper than $1`,
	`stay as deep as the deepest`, `as deep as the deepest`,
	`([\d.]+) yd deep`, `$1 deep`,
	`([\d.]+) yd (inside|outside|from)`, `$1 $2`,
	`Against the run: `, `Run: `,
	`; your place is ([\d.]+) from the ball on your side, ([\d.]+) deep`, ` ($1 from the ball, $2 deep)`,
)

// Short says the same in fewer words, for a page that holds all of a man's calls. No two
// rules of a man become one (a test does that for every rule of the built-in book).
func Short(s string) string {
	for _, c := range shorter {
		s = c.long.ReplaceAllString(s, c.short)
	}
	return strings.Join(strings.Fields(s), " ")
}
