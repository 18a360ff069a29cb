// Package plan sets our calls against what an opponent really runs: concept
// pictures from their tagged plays, the stress board, the mix to call.
//
// # A review is of what the plan could not know
//
// A review is of what the plan could not know: plays whose identity is older than the snapshot
// (made_at) are left out, since it predicted from them. Every play of ours is played again by the
// engine, our call against the routes of that play, to see whether the target was the open man of
// a two-way threat. 1,400 plays were reviewed in 0.7 s, a game of 58 in 0.08 s, and a self-scout
// of 1,500 took 0.13 s (medians, n 5, two cores that others used too). The demo's plan is made by
// ask.Snapshot before its game is loaded.
//
// # An answer is a whole call
//
// An answer is a whole call: fix.Search is asked through plan.Repertoire (all they run in a
// situation, ready to be played), so that what it says of a change is what the board says once
// that call is stored (TestFixesAreTheBoard). The cell page stores one by naming it: the server
// looks for the answers again and takes no call from the browser. Against 16 pictures one conflict
// takes 30 ms, the sweep of an alignment 25, of a break 18 (go test ./internal/plan -run '^$'
// -bench Cell, two cores, load 2.7). Over HTTP on the demo season, medians of 7: answers 68 ms,
// sweeps 32 and 43, a cell's page with all three 103, the stress report as PDF 326 (ten conflicts
// are searched), all position sheets of ten calls as PDF 1.06 s (33 conflicts), those of one call
// 107 ms. A minute of make load (load 3 to 4, others on the machine): stress report as PDF p50
// 0.61 s and worst 1.07 s (n 9), no refusal and no error among 3,400 requests.
//
// # A plan is a snapshot with choices beside it
//
// A plan is a snapshot with choices beside it (plan.Content, JSON in one column, read and checked
// by plan.Read alone): what was counted, predicted and recommended in each situation, so that a
// review compares what happened with what was said then, whatever was tagged, renamed or taken out
// of the book since. So a plan has copies of words and of calls' names, which a merge does not
// rewrite and a purge of the word leaves; it goes with its opponent, and with the game it is for.
// What a choice gives up is worked out at each reading; its call sheet is made of the snapshot
// alone, but for the words of the checks. A locked plan is kept by a trigger: it can be copied or
// deleted (and comes back locked), not changed. A plan of fourteen situations, ten calls and nine
// concepts is 80 kB and took 0.24 s to make (mean of 3, load 3); lists leave the content out. Its
// Idempotency-Key goes by what was asked, since the same request makes another snapshot tomorrow.
package plan
