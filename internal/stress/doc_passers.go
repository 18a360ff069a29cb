// # Where passers throw: what is compared with what
//
// The season's tables (who-is-open is what they judge) name coverages and routes by
// words of their charting. What each word stands for here, with which weights, was
// written down before the lift of the engine was first read; every later change is
// listed below with the figures before and after.
//
// Routes: ANGLE angle and a back's check over the ball (charting by tracking calls what
// a back runs underneath inside so); CORNER corner, post-corner; CROSS over, cross,
// shallow, mesh; FLAT flat, arrow, swing; GO go, fade, seam, sluggo; HITCH hitch, curl,
// stick, sit, spot, hook, comeback; IN in, dig, drift, option; OUT out, sail, whip; POST
// post, inside post, bender, glance, divide, corner-post; SLANT; WHEEL; SCREEN bubble,
// slow screen, tunnel, now. Common practice, no source.
//
// Coverages: COVER_0 cover 0. COVER_1: five rush in .32 of its snaps
// (open_plays_2022), the hole man then; corners press in about a third and the low man is
// a rat in one of seven (common practice, no source): as taught .40, corners pressed .14,
// rat .14, hole man rushing .16, both .16. COVER_2: spot .35, carry .35, tampa .30.
// 2_MAN two-man. COVER_3: five rush in .22 (open_plays_2022), the fire zone then; match
// .40, sky .20, spot .18 (most professionals match; common practice, no source).
// COVER_4: quarters match .45, by landmark .25 (added with the book, L before and after in
// the documentation of package call), palms .30 (common practice). COVER_6 cover 6. Each call is
// played with the strong side of an even set on the play side and on the other, alike.
//
// Concepts: those of the library. A family weighs its share of the season's throws that
// are no screens (open_plays_2022: .766 without a play fake, .203 with one, .031 RPOs); a
// family's concepts weigh alike; the same for all coverages. Screens are left out of the
// lift, and weigh one picture each in the table of completions.
//
// Lags at the first reading: a defender sees his man .2 s late, a zone man .45 s, the
// control that is wanted takes .2 s, what he owes changes .2 s after a declaration, the
// ball is reacted to after .4 s by its owner (.15 more for each doubling of throws owed),
// .65 s by others, 1 s by a man with a receiver of his own; the ball may leave .3 s
// before a break and arrives .2 s after it at the earliest.
//
// Definitions. p(r|c) is the passer's share of route r against coverage c, over concepts
// and calls by these weights, receivers the picture does not name included. The engine's
// log lift is log p(r|c) less the log of its mean over the coverages, each weighing what
// the season threw against it; the season's is log((n+5)/(expected+5)). L is their
// Pearson coefficient over cells with 40 expected targets, L weighted the same weighted
// by expected targets, Z that of zone coverages alone, each lift less its route's
// weighted mean over them. R and W are Spearman coefficients of completions over cells of
// 80 throws, W of what is left when a route's mean is taken off. Separation is compared at
// 6 to 14 yards of air: the mean over all, and the root mean square over bands of two yards.
//
// First reading, the engine as it was (a curve with four terms for coverages):
//
//	               2019 to 2021   2022
//	L              -0.249         -0.254
//	L weighted     -0.336         -0.345
//	Z              -0.112         -0.184
//	R               0.915          0.936
//	W               0.714          0.744
//	separation     -0.620 rms 0.586 (with the coverages of 2019 to 2021)
package stress
