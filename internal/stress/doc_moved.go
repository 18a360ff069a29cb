// # What one man's place is worth
//
// TestEveryManCounts moves each man of six calls three yards out and three yards in, against one named
// picture each: 35 of 66 are felt (by .05 points or .03 of success, in the direction the drawing shows;
// the goal is 33): the 24 linemen, and 11 of the 42 behind them. Who is not felt is back by the throw: of
// the three yards a man in a deep zone has .5 to 2.0 left after 1.6 s and .1 to 1.0 after 2.2 s, one in an
// underneath zone .4 to 2.9 and .1 to 2.1; a man who has a receiver keeps about one, and up to three where
// he lost his shade. Drops are run, not given: after the first step (.3 s) three yards take half a
// second. Felt are men on a receiver who lose their shade (cover 1 corners and overhangs, quarters corner
// and overhang), a hook against a quick throw (palms middle), an overhang against an RPO (sky).
//
// Tried: underneath men who drop with their eyes on the passer at .85, .7 and .55 of their speed (deep
// men do at .65). All three leave 35 felt. L of 2019 to 2021 is .681, .681, .676 (.681), L among zones .483,
// .477, .443 (.479), W .798, .802, .805 (.797); unseen rows 70, 69, 69 (70), public rows 53, 53, 52 (53);
// man less zone in success -.058, -.059, -.060 (-.059), separation .194, .198, .194 (.192): nothing that is
// worth a number, left out.
package stress
