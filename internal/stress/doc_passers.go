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
//
// What was changed after that, each with L, L weighted, Z of 2019 to 2021 (chosen on) and, where
// it was looked at, of 2022, and W of the former:
//
//	outside curve, separation at the catch             -0.155 -0.087 -0.027   W 0.356  (2022 -0.070 -0.070 -0.071)
//	the passer waits less, and counts who sees         0.359  0.313  0.047   W 0.398  (2022 0.427 0.339 0.101)
//	  the ball (a man on top of his receiver does)
//	the release meets the route                        0.355  0.338  0.139   W 0.473
//	pictures as they are run (library.csv, rest)       0.413  0.228  0.127   W 0.437
//	perception 0.2 to 0.1 s, ball 0.4 to 0.35 s         0.386  0.180  0.086   W 0.602
//	the drop is done at 2.2 s (Clock.Rhythm)           0.438  0.278  0.010   W 0.606
//	hooks at ten, cloud corner sinks                   0.471  0.321  0.049   W 0.632
//	routes convert (on_press, in_man, two_high)        0.537  0.430  0.170   W 0.642  (2022 0.597 0.449 0.269)
//	the run after the catch left out of his choice     0.572  0.528  0.180   W 0.638
//	slants as flat as they are run, backs thrown to    0.525  0.498  0.232   W 0.655
//	  where their stem ends
//	a man off turns in time to stay on top             0.575  0.540  0.251   W 0.635
//	word COVER_1: leverage to the help in .30 of it    0.616  0.615  0.218   W 0.626
//	the book read man by man; word COVER_4: a quarter  0.635  0.645  0.227   W 0.599  (2022 0.712 0.684 0.360)
//	  by landmark
//	a hitch against man becomes a slant                0.687  0.730  0.239   W 0.599  (2022 0.768 0.747 0.350)
//	sight in degrees, soft moments, perception 0.07    0.688  0.708  0.238   W 0.665  (2022 0.753 0.720 0.336)
//	choosing costs 0.25 s a doubling (findings)        0.677  0.690  0.208   W 0.678  (2022 0.731 0.692 0.281)
//	a yard is worth more, waiting less, taste softer   0.699  0.710  0.274   W 0.676  (2022 0.744 0.708 0.326)
//	as it stood before the next (read again)           0.685  0.722  0.388   W 0.676  (2022 0.753 0.718 0.414, W 0.487)
//	one throw differs from the next (Curve.Day), and   0.690  0.723  0.431   W 0.715  (2022 0.754 0.727 0.453, W 0.540)
//	  every man near counts; deep men look 1.5 s ahead
//	the curve bends (refitted outside), taste 2.5      0.667  0.722  0.435   W 0.720  (2022 0.757 0.728 0.458, W 0.495)
//	deep men keep their shade, go back at .65 of their 0.651  0.713  0.435   W 0.706  (2022 0.749 0.723 0.465, W 0.506)
//	  speed; a helper stands two yards inside
//	a reader shadows his key until it declares, not the 0.657  0.729  0.454   W 0.717
//	  zone that he may get
//	who squeezes sinks to 10.5, as a cloud corner does 0.660  0.734  0.461   W 0.720  (2022 0.766 0.752 0.506, W 0.504)
//	bodies are in the way of men: receivers and the men   0.670  0.742  0.460 W 0.719 (2022 0.774 0.761 0.509, W 0.499)
//	  who have them, half a second at most (was receivers
//	  alone from 2 yd; from 2.5 yd 0.668, at .85 of his
//	  speed 0.678 but W 0.712)
//	a man keeps the shade he lined up with, one to two    0.678  0.754  0.456 W 0.746 (2022 0.785 0.777 0.517, W 0.520)
//	  yards (was one; to 1.5: 0.674 0.751 0.459, W 0.736)
//	a ball thrown under the rush sails (pressure.go: men   0.676  0.756  0.455 W 0.760 (2022 0.784 0.780 0.518, W 0.536)
//	  against men, and time; half a log odds)
//	a man torn between two throws is read: what is thrown  0.676  0.756  0.455 W 0.798 (2022 0.784 0.780 0.518, W 0.607)
//	  is caught as on the days when he leans to the other
//	  (torn.go, Curve.Read)
//	a cloud corner carries #1 when #2 is inside, and sinks 0.680  0.766  0.466 W 0.798 (2022 0.789 0.790 0.524, W 0.606)
//	  under the corner route of a smash (BR-CB; tampa 2, cover 6)
//	hooks of cover 3 match wall #2; an underneath man      0.679  0.763  0.472 W 0.797 (2022 0.785 0.787 0.522, W 0.610)
//	  hands on at the tackle; a throw that becomes a man's
//	a slant is no shallow: quarters corners have it        0.677  0.761  0.447 W 0.804 (2022 0.777 0.783 0.507, W 0.630)
//	fire zone's corner has it too; a back's wheel is the   0.679  0.766  0.446 W 0.809 (2022 0.784 0.789 0.519, W 0.622)
//	  middle's; a hitch is robbed before a far shallow
//	the book against the sheets once more (doc_book.go):  0.681  0.765  0.468 W 0.799 (2022 0.790 0.787 0.545, W 0.619)
//	  landmarks, the corner on top of an out, slants in
//	  trips, rat, sky, tampa
//	a deep man ten yards under where he must be turns and  0.682  0.766  0.475 W 0.800 (2022 0.791 0.787 0.549, W 0.618)
//	  runs, as the pole does (nine gains a little more, but the post safety at eight is then worth 0.081 of a
//	  go to the one at eighteen, and 0.08 is asked for)
//	a third stays the cover 3 match corner's, to help in,  0.681  0.764  0.470 W 0.797 (2022 0.789 0.785 0.542, W 0.616)
//	  when he goes with #1 (findings: ROWS.md)
//	who has #3 of trips in two-man stands inside him (3.8;  0.705  0.773  0.470 W 0.806 (2022 0.786 0.784 0.542, W 0.616)
//	  he came from the other side of the ball); a linebacker
//	  who has #3 or #4 of an empty set stands on him
//
// The season 2022 was seen beside the other three several times on the way, so it is no unseen
// season; what is chosen was chosen on the pooled ones.
//
//	As it stands   2019 to 2021   2022    aim on 2022
//	L              0.705          0.786   0.7
//	L weighted     0.773          0.784   0.7
//	Z              0.470          0.542   0.35
//	R              0.935          0.917   0.88
//	W              0.806          0.616   0.6
//	separation     0.088 rms 0.269 (2022 weights: 0.148 rms 0.305; aim 0.3 and 0.5)
//
// Selection. A season's completions are of throws that were made: one that is rarely open is
// made on the days when it is, and tracked separations are of those days too (onTheDay). Tried,
// as L, W of 2019 to 2021, W of 2022: the passer sees part of every man's day, and his choice is
// drawn over it (a sum of three or five days), shares following: before the rush was in (0.678
// 0.746, 0.520) two tenths of the variance 0.688 0.742, 0.516, four tenths 0.697 0.741, 0.517: L
// gains, W does not, since the order of coverages stays. With the rush (0.676 0.760, 0.536), of a
// man with two throws four fifths, of others two tenths 0.683 0.775, 0.581; all and four tenths 0.692
// 0.781, 0.583, but separation 0.358 off. With the mean of the chosen days alone (a closed
// form), for men with two throws, shares as on usual days (L 0.676): Read 0.2 0.791, 0.583; 0.3 0.799,
// 0.595; 0.4 0.804, 0.605; 0.6 0.807, 0.626; but then a seam that the deep man is shaded to is
// caught as if he were not (sweep 0.04 at 0.5). Who is on this throw and far from his other has
// given the other up and is not read; given up at 2 yards 0.790, 0.592; 5 0.797, 0.601; 6 0.797, 0.602; 8
// 0.798, 0.605 (all Read 0.5). Read 0.6, given up at 6, is taken: 0.798, 0.607.
//
// With the corner of cover 2 spot sinking under a smash as well it would be L 0.683, weighted
// 0.772, Z 0.475, W 0.800 (2022 0.794, 0.797, 0.530, 0.612); that call is the one that is
// played by landmark, and its corner stays in the flat.
//
// W of zones alone rises from .010 to .221 on 2022 (LIFT.md lists the cells). What is off: posts and
// goes against quarters (here more open
// than against three deep, there less), corners against three deep, outs against man and cover
// 2 (the inside man is in time), hitches against cover 2 (the corner sits on them for good).
// Deep men who keep their shade and the curve that bends cost L 0.034 on 2019 to 2021: with
// a straight curve and deep men who run to the average of their threats it is 0.690, but then a deep man's depth and
// shade are worth nothing to a go or a seam, which no coach would believe. Two-man is most of what is
// off in L there (flats -0.51 and outs +0.52 against 0.13 and 0.09 here).
// Tried without gain: perception 0 (W 0.70 but L 0.60), zone eyes 0.3 and 0.35 s, others'
// reaction 0.5 s, a wider circle of watchers, the run after the catch as part of the choice;
// deep men who lean to the threat nearest to their landmark (W 0.72, on 2022 0.53 to 0.57, but
// L 0.635 with the straight curve); middle men two yards deeper (L 0.66); deep men who look
// 2.2 s ahead (W on 2022 0.564, L 0.649); the slope of a single throw, with Day, 0.473 a yard to
// 4.5 (L 0.637 to 0.654).
//
// Sweeps of TestMonotone, by how much a catch is likelier: hitch 0.092, slant 0.162, go 0.107,
// out 0.169, fade 0.085, dig 0.144, seam 0.157, corner route 0.092, flat 0.109. Short of 0.08:
// stick 0.042: he who lines up inside is a yard further when it is thrown, and comes half of
// it back while the ball flies (0.017 when every man kept one yard of shade). A receiver who
// works two or three yards out after his turn does not change it (0.042, 0.030, 0.027: he
// gets away from the man over him as well).
//
// What a call gives up to a picture (Evaluator.Weigh) is four parts in ten that of the picture
// with its receivers' answers to the look, six in ten as drawn, as in the figures above; findings
// and throws are told of the picture as it is drawn.
//
// The slope of a single throw. The weekly means of the 3,946 receiver-weeks differ by 0.05 + 5.27/n
// in variance (n targets, air taken off): nearly all of it is one throw beside another, 2.3 yd
// of standard deviation about a mean of 3.0. With single separations of a gamma distribution of
// that spread (shape 1.72; a week's share of one throw is then a beta), the likelihood of the
// catches is highest for 0.473 a yard up to 4.5, base -0.023, air -0.050 (2 log likelihood 8.5
// above the line on the means). It is not taken yet: the separation here is that of one man's
// usual day, not of one throw, and with it 2019 to 2021 read L 0.590, weighted 0.631, Z 0.289,
// R 0.893, W 0.638 instead of 0.685, 0.722, 0.388, 0.917, 0.676 (taste 1.5: 0.612, 0.676,
// 0.367, 0.875, 0.624). A curve on the means that bends fits better than the straight one: e
// after 6 yards 8.6 (twice the log likelihood), 4 12.0, 3 13.4, 2 11.1, 1.5 3.3; that of 3 is taken.
package stress
