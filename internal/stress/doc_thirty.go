// # Thirty findings, read
//
// Drawn by TestThirty (its seed is fixed) from all findings over two yards of book x library,
// as the engine stood when it was drawn, and read against the timeline by the rules of the
// trade notes: right 23, the right man but at one release only 3, the man next door 3, nonsense 1.
// (Before throws in front of zones, pairs and owners were told as now: right 22, one release 7,
// nonsense 1. The movement before: 26 right, 2 the man next door, 1 at one release only, 1 nonsense. The
// first engine: 17 right, 6 inflated, 1 weak, 3 the wrong man, 3 nonsense.) Call, picture: man,
// open throw | what holds him; then how open it was, and what was seen.
//
//	quarters match, stress, P1 spot@5, P2 corner@10, P3 flat@2: middle, back check | #3 flat
//	  11.8 yd; right: the flat takes him from the back
//	cover 1 rat, P1 go, P2 arrow@3, P3 stick@6: hole, #3 stick | the run
//	  4.0 yd; the man next door: the stick is the weak overhang's, who comes from the far side
//	cover 2 spot, P1 post@10, P2 corner@12: middle, back check | backside #1 slant
//	  7.7 yd; right: the back under a hole man who drops
//	cover 6, P1 curl@12, P2 flat@3: middle, backside #2 shallow | back late flat
//	  9.2 yd; right: the crosser and the back, from either side
//	cover 3 mable, P1 hitch@6, P2 corner@12, P3 seam: free safety, backside #1 slant | #3 seam
//	  2.2 yd; nonsense: nobody throws a slant at 3.3 s
//	quarters match, no trips check, P1 out@10, P2 out@10: overhang, #2 out | #1 out
//	  4.6 yd; right man, at one release only; the safety has it as well
//	cover 3 match, P1 slant@3, P2 slant@3, P3 flat@2: strong hook, #1 slant | #3 flat
//	  3.2 yd; right: he goes with #3, the slant is in his hook
//	cover 3 sky, P1 post@12, P2 dig@10, P3 whip@5, B1 comeback@15: strong hook, #3 whip | #2 dig
//	  5.6 yd; right: one in front of him, one behind
//	fire zone, P1 slant@3, P2 flat@2: weak seam man, backside #2 out
//	  4.5 yd; right: the out is away from him
//	fire zone, P1 post@10, P2 dig@10, B2 shallow@4: middle, backside #2 shallow | #2 dig
//	  5.7 yd; right: the shallow in front, the dig behind
//	palms, P1 dig@12, P2 seam: weak safety, backside #1 dig | backside #2 seam
//	  4.4 yd; right: the seam takes him from the dig, the corner is outside (by the notes the corner's alone)
//	palms, P1 post@10, P2 dig@10, B2 shallow@4: middle, backside #2 shallow | #2 dig
//	  5.4 yd; right, as 10
//	quarters with exchange, P1 in@5, P2 in@5, P3 dig@12, B1 comeback@15: weak hook, #3 dig | #2 in
//	  3.0 yd; right: the in is passed to him as the dig comes
//	cover 3 spot, P1 corner@15, P2 sail@12, P3 flat@3: strong overhang, #2 sail | #3 flat
//	  3.8 yd; right: sail and flat for one curl-flat man, the corner has #1
//	cover 3 spot, P1 out@10, P2 seam, B1 out@10, B2 seam: free safety, backside #2 seam | #2 seam
//	  5.0 yd; right: two seams
//	quarters with exchange, P1 post@14, B1 over@15: strong safety, backside #1 over | #1 post
//	  2.6 yd; right: the over comes into his quarter as he tops the post
//	fire zone, P1 curl@12, P2 hook@8, P3 flat@2, B1 go: strong seam man, #3 flat | #2 hook
//	  12.3 yd; right: he carried #2, the flat is far
//	quarters, closed back side: corner to the deep half, P1 in@5, P2 in@5, P3 dig@12, B1 comeback@15: overhang, #2
//	    in | #1 in
//	  2.6 yd; right: two ins in one zone
//	quarters match, no trips check, P1 post@12, P2 post@10: weak hook, backside #2 flat
//	  4.8 yd; right man, at one release only
//	quarters match cover-down, P1 out@5, P2 out@5: weak hook, backside #2 slant | backside #1 slant
//	  5.7 yd; right: two slants for one man underneath
//	cover 3 spot, P1 spot@5, P2 corner@12: weak overhang, backside #1 curl | backside #2 flat
//	  5.0 yd; right: curl and flat
//	cover 6, P1 post@12, P2 dig@10, P3 whip@5, B1 comeback@15: strong safety, #2 dig | #1 post
//	  3.4 yd; the man next door: the dig is the overhang's and the middle's by then
//	cover 3 sky, P1 post@12, P2 dig@12: strong hook, back check | #2 dig
//	  7.5 yd; right: the back under a hook who drops
//	quarters match, solo, P1 shallow@5, P2 dig@12: weak hook, backside #2 hook | backside #1 dig
//	  2.8 yd; right: hook and dig in his zone, and he has the back
//	cover 3 sky, P1 spot@5, P2 corner@10, P3 flat@2: strong overhang, #2 corner | #1 spot
//	  2.0 yd; the man next door: the corner route is the corner's, who is nearest
//	cover 3 match, P1 slant@3, P2 slant@3, P3 flat@2: strong overhang, #3 flat | #2 slant
//	  6.8 yd; right: the slant holds the flat man
//	quarters, both corners locked, backside safety to #3, P1 post@12, P2 in@4: strong safety, backside #2 cross | #1
//	    post
//	  3.2 yd; right: the cross comes to him as he tops the post; the middle is as far
//	quarters match, solo, P1 post@12, P2 dig@10, P3 whip@5, B1 comeback@15: middle, #3 whip | #3 whip
//	  3.3 yd; right: a whip can break either way
//	two-man, P1 curl@12, P2 hook@8, P3 flat@2, B1 go: weak slot man, #3 flat
//	  10.1 yd; right: man to man, he comes from the far side
//	quarters match, special, P1 in@5, P2 in@5, P3 dig@12, B1 comeback@15: strong corner, back check
//	  4.1 yd; right throw, nobody's, at the last release only
package stress
