package intake

import "strings"

// A meaning is what a word of a sheet sets: one tag, or more ("screen" is a
// pass of that family). None at all is a word that is known to say nothing here.
type meaning []tag

type tag struct{ field, value string }

// tables are the words with a fixed meaning, by the field of the column they
// stand in (common practice, no source). A word is found by its letters and
// digits alone.
var tables = func() map[string]map[string]meaning {
	m := map[string]map[string]meaning{}
	for field, text := range map[string]string{
		"hash": `left: l, lt, left, lh; middle: m, mid, middle, c, center, mh, mof; right: r, rt, right, ` +
			`rh`,
		"strength":  `left: l, lt, left; right: r, rt, right; balanced: b, bal, balanced, even, none, n`,
		"play_side": `left: l, lt, left; right: r, rt, right; : m, mid, middle, c, center`,
		"called": `run: r, run, rush, running, ru; pass: p, pass, passing, throw; pass family=screen: screen, scr, s;
			pass family=play_action: play action, pa, pap, play pass, playaction; family=rpo: rpo; run family=draw: draw; pass family=boot: boot, bootleg, naked;
			pass family=quick: quick, quick game, quick pass; pass family=dropback: dropback, drop back, drop; pass result=sack: sack; pass result=scramble: scramble;
			status=no_play: no play, penalty, pen; status=kneel: kneel, knee, victory; status=spike: spike;
			status=kick: punt, fg, field goal, kickoff, ko, kick, pat, xp, extra point, special teams, st, two point, 2pt`,
		"family": `run: run, r; dropback: dropback, drop back, db, drop; quick: quick, quick game, 3 step; play_action: ` +
			`play action, pa, pap; boot: boot, bootleg, naked, roll, rollout, sprint out;
			screen: screen, scr; rpo: rpo; draw: draw`,
		"result": `rush: run, rush, rushed, ran, carry, carried, r, tackle, tackled, gain, loss, no gain; ` +
			`complete: c, comp, complete, completion, completed, caught, catch, cmp, pass complete, pass caught; ` +
			`incomplete: i, inc, incomp, incomplete, incompletion, drop, dropped, ic, pbu, ` +
			`pass broken up, throwaway, throw away, not caught, no catch, missed, ` +
			`overthrown, thrown away, broken up, pass incomplete, dropped pass;
			intercepted: int, interception, intercepted, pick, picked, picked off, ixn; sack: sack, sacked, sk; scramble: scramble, scr, qb scramble; fumble_lost: fumble lost, lost fumble;
			penalty: pen, penalty, flag; touchdown=yes: td, touchdown, score; rush touchdown=yes: rush td, run td, rushing td, rushing touchdown, run touchdown; complete touchdown=yes: pass td, complete td, comp td, passing td, td pass, complete touchdown, passing touchdown;
			status=kneel: kneel, knee; status=spike: spike; status=no_play: no play, offset, offsetting; status=kick: punt, field goal, fg, fg good, fg no good, kickoff, pat, xp, extra point, kick;
			: first down, 1st down, fd, 1st, out of bounds, ob, oob, turnover on downs, downs, fumble, other`,
		"shell": `no_high: 0 high, no high, zero, 0; one_high: 1 high, one high, single high, mofc, closed, 1; two_high: ` +
			`2 high, two high, mofo, open, split, 2; other: other`,
	} {
		m[field] = map[string]meaning{}
		for _, entry := range strings.Split(text, ";") {
			sets, words, _ := strings.Cut(strings.TrimSpace(entry), ":")
			for _, w := range strings.Split(words, ",") {
				m[field][letters(w)] = meaningOf(field, sets)
			}
		}
	}
	return m
}()

func meaningOf(field, sets string) (out meaning) {
	for _, s := range strings.Fields(sets) {
		if f, v, ok := strings.Cut(s, "="); ok {
			out = append(out, tag{f, v})
		} else {
			out = append(out, tag{field, s})
		}
	}
	return out
}

// letters is a word by its letters and digits alone, small.
func letters(s string) string { return notWord.ReplaceAllString(strings.ToLower(s), "") }
