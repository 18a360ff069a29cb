package ask_test

import (
	"fmt"
	"slices"
	"testing"

	"overhang/internal/plan"
)

// A leader is the call that leads a board, the concepts that it leads by, and why in a coach's
// words.
type leader struct {
	call string
	by   []string
	why  string
}

// leaders are those of the boards of the demo, an opponent's six situations in a row (six).
// Written while looking at the boards: at each leader's cells and where its men were.
var leaders = map[string][6]leader{
	"alder": {
		{"palms", []string{"stick", "flood"}, "Stick and flood are two plays in seven. When #2 goes out quickly the corner " +
			"has him and the safety has the go, so nothing quick is free; the sail is what is left to throw."},
		{"palms", []string{"inside zone", "flood"}, "Thirteen of 17 are runs. The five calls of the group " +
			"fit them alike, palms as well as any; the two floods and the one shot deep decide among them."},
		{"palms", []string{"stick", "flood", "rpo stick"}, "A third of it is stick, RPO stick and flood: the " +
			"corner comes down on the arrow, the safety is over the go, two men pinch the stick."},
		{"cover 3 match", []string{"inside zone", "stick"}, "Eleven of 19 are runs, and one deep in the middle " +
			"leaves one man more for them; against stick the overhang has the arrow and the hook sits on the stick."},
		{"cover 3 match", []string{"stick", "divide", "four verticals trips"}, "Stick is one play in seven: the overhang " +
			"has the arrow and the hook sits on the stick. Corner, overhang and hook run with those who go, one man deep " +
			"in the middle helps. Seven calls are as good."},
		{"cover 0", []string{"flood", "boot flood"}, "Eighteen plays, and eleven calls cannot be told apart: take the base " +
			"call. A man for each and one rusher more has nothing behind it to lose so near the goal line."},
	},
	"birch": {
		{"cover 1", []string{"dagger", "four verticals", "double post"}, "He throws deep: seams, posts, the dig under a " +
			"seam. Everybody has a man and one is deep in the middle; a zone has three men deep for four who go."},
		{"cover 0", []string{"four verticals", "double post"}, "Verticals and double post on a short down: a man runs with " +
			"each, and with one rusher more the ball has to go before they are by him."},
		{"cover 1", []string{"dagger", "four verticals"}, "As on first down: a man on the dig and on each seam, help in " +
			"the middle. A hook who carries the seam gives up the dig."},
		{"cover 0", []string{"inside zone", "four verticals"}, "Ten of 15 are runs and every yard counts: one man more " +
			"comes, and everybody who goes out has a man on him. Only 15 plays stand behind it."},
		{"cover 1", []string{"four verticals", "dagger"}, "Two plays in five are four verticals or dagger. A man runs " +
			"with each vertical, the safety sits between the seams; zones leave a seam or the dig open."},
		{"quarters match", []string{"four verticals", "mills", "smash"}, "The end line stops the posts and seams where " +
			"two safeties wait for them; each corner has the go by himself and stays on top of the hitch of smash. Palms " +
			"is as good."},
	},
	"cedar": {
		{"cover 1", []string{"boot flood", "rpo glance"}, "His passes begin with a run fake. A man who has a receiver goes " +
			"with him, whatever the backs do; a zone man who must look at the run is late to the over and the glance."},
		{"cover 0", []string{"rpo slant", "rpo glance"}, "Sixteen of 25 are runs, which all calls fit alike. The slant " +
			"and the glance are thrown where a linebacker left for the run: here a man has them who does not fit it."},
		{"cover 1", []string{"rpo bubble", "rpo glance", "play-action post"}, "The fake moves nobody who has a man: one is " +
			"on the bubble, one on the glance, one on the post with help behind him. Palms is as good."},
		{"cover 0", []string{"curl-flat", "boot flood"}, "Third and short, twelve runs and short throws off the fake: one " +
			"man more at the line, and a man on the curl, the flat and the over."},
		{"cover 1", []string{"rpo slant", "boot flood"}, "Slants and boots off the run: everybody has a man, and " +
			"nobody who has one is moved by the fake."},
		{"cover 1", []string{"boot flood", "play-action post", "rpo glance"}, "Boot, post and glance off the run: " +
			"everybody has a man and goes with him, and the end line is near. Palms is as good."},
	},
	"dogwood": {
		{"palms", []string{"slant-flat", "spacing", "drive"}, "Slant and flat, spacing: #2 goes out, the corner has him " +
			"and the safety drives on the slant. Quick throws find somebody on them."},
		{"palms", []string{"spacing", "slant-flat", "double slants"}, "The same quick throws; the runs are fitted alike by " +
			"all calls. Cover 1 is as good."},
		{"palms", []string{"spacing", "slant-flat", "double slants"}, "The same quick throws: the corner and the safety " +
			"trade #1 and #2 as soon as #2 goes out."},
		{"cover 0", []string{"double slants", "levels", "slant-flat"}, "Two slants, an in and a slant and a flat: a man " +
			"tight on each, and the ball must go at once. Cover 1 and palms cannot be told from it."},
		{"cover 1", []string{"option", "drive", "levels"}, "Option, drive and levels work on the man who sits between two " +
			"routes. Here everybody has one, and the hole man waits for the crosser."},
		{"cover 0", []string{"slant-flat", "option", "double slants"}, "Short throws on a short field: a man on each, and " +
			"no ground behind them that would need a safety."},
	},
}

// explained holds a board's leader to what is said of it: it leads, and it gives up less against
// the concepts it leads by than the calls of the book do on average.
func explained(t *testing.T, opponent string, situation int, b *plan.Board, planted []plan.Named) {
	t.Helper()
	x := leaders[opponent][situation]
	if b.Rows[0].Call != x.call {
		t.Errorf("%s %v: %s leads, the words are of %s: read the board and write them anew", opponent, six[situation],
			b.Rows[0].Call, x.call)
		return
	}
	for _, concept := range x.by {
		leads, all, n := 0.0, 0.0, 0.0
		for k := range b.Concepts {
			if b.Concepts[k].Concept != concept {
				continue
			}
			for i := range b.Rows {
				if slices.ContainsFunc(planted, func(p plan.Named) bool { return p.Name == b.Rows[i].Call }) {
					continue
				}
				all += float64(b.Concepts[k].Plays) * b.Rows[i].Cells[k].Points
				n += float64(b.Concepts[k].Plays)
			}
			leads += float64(b.Concepts[k].Plays) * b.Rows[0].Cells[k].Points
		}
		calls := float64(len(b.Rows) - len(planted))
		if n == 0 || leads >= all/calls {
			t.Errorf("%s %v: %s does not lead by %s: %+.3f beside %+.3f", opponent, six[situation], x.call, concept,
				leads*calls/n, all/n)
		}
	}
	fmt.Println("  " + x.why)
}
