// # Thirty findings, read
//
// Drawn by TestThirty (its seed is fixed) from all findings over two yards of book x library,
// as the engine stood when it was drawn, and read against the timeline by the rules of the
// trade notes: right 22, the right man but at one release only 7, nonsense 1, a wrong man 0.
// (On the movement before: 26 right, 2 the man next door, 1 at one release only, 1 nonsense. The
// first engine: 17 right, 6 inflated, 1 weak, 3 the wrong man, 3 nonsense.) Call, picture: man,
// open throw | what holds him; then how open it was, and what was seen.
//
//	cover 3 spot, P1 corner@15, P2 sail@12, P3 flat@3: strong overhang, #2 sail | #3 flat
//	  3.8 yd; right: sail and flat for one curl-flat man, the corner has #1
//	quarters match cover-down, P1 hitch@6, P2 corner@12: middle, back check
//	  7.4 yd; right: the back under a hook who drops
//	quarters match, stress, P1 dig@16, P2 seam, B2 shallow@3: middle, #1 dig | backside #2 shallow
//	  4.2 yd; right: the shallow holds him from the dig
//	cover 3 sky, P1 corner@10, P2 over@6, B1 post@12, B2 mesh@5, back flat@2:
//	    strong overhang, backside #2 mesh | back flat
//	  5.4 yd; right: the crosser arrives as the back takes him to the flat
//	two-man, P1 sluggo@3, P2 seam: strong corner, #1 sluggo | #1 sluggo
//	  2.3 yd; right man, at one release only
//	quarters match cover-down, P1 curl@12, P2 flat@3: middle, backside #2 shallow
//	  4.7 yd; right: the crosser is his and outruns him
//	quarters with exchange, P1 out@5, P2 corner@12: middle, backside #1 slant | back check
//	  5.1 yd; nonsense: nobody throws a slant after 2.9 s
//	cover 1 rat, P1 slant@3, P2 flat@2: weak overhang, backside #2 out | backside #2 out
//	  4.2 yd; right: man to man inside, the out is away from him
//	cover 3 match, P1 hitch@6, P2 fade, P3 seam: strong overhang, back late flat | #1 hitch
//	  7.3 yd; right: late flat and hitch, one curl-flat man
//	quarters with exchange, P1 post@12, P2 whip@5, P3 dig@10, B1 whip@5: weak hook, backside #1 whip | backside #2 hook
//	  5.6 yd; right: the whip and the hook, the corner has zoned off
//	quarters match, special, P1 go, P2 wheel@4: weak hook, backside #2 flat
//	  4.8 yd; right: the quarters flat; at one release only
//	quarters spot, P1 dig@16, P2 seam, B2 shallow@3: weak overhang, back late flat | backside #1 out
//	  7.9 yd; right: he sank under the out, the back sits in the flat
//	cover 3 mable, P1 go, P2 arrow@3, P3 stick@6: strong hook, #3 stick | the run
//	  2.6 yd; right: he fits the draw
//	quarters match cover-down, P1 post@12, P2 dig@12: weak hook, backside #1 dig | #2 dig
//	  3.6 yd; right: two digs come together in his zone
//	cover 3 sky, P1 curl@12, P2 hook@8, P3 flat@2, B1 go: strong overhang, #3 flat
//	  7.0 yd; right: the flat of three is far from a curl-flat man
//	quarters spot, P1 out@10, P2 out@10: middle, back check | backside #2 cross
//	  7.3 yd; right: the cross is over him, the back under him
//	quarters match, special, P1 slant@3, P2 slant@3: overhang, #1 slant | #2 slant
//	  5.5 yd; right: two slants for one man underneath
//	cover 3 spot, P1 post@12, P2 dig@12, B2 shallow@4, back wheel@1: weak overhang, backside #1 comeback
//	  3.3 yd; right: the comeback is in front of the corner and wide of him
//	quarters match, special, P1 go, P2 leak, B1 over@12: weak hook, backside #1 over | the run
//	  2.8 yd; right: the boot's fake first, then the over
//	quarters, both corners locked, backside safety to #3, P1 spot@5, P2 corner@10, P3 flat@2:
//	    overhang, #3 flat | #2 corner
//	  5.9 yd; right: #2 on the corner is in his way to the flat
//	quarters match, no trips check, P1 post@12, P2 dig@12: weak safety, backside #1 dig | backside #2 seam
//	  2.6 yd; right: #2 deep takes him from the dig
//	quarters match, special, P1 go, P2 shallow@4: weak hook, backside #2 out | #2 shallow
//	  5.3 yd; right: out and crosser at once; at one release only
//	cover 3 mable, P1 dig@12, P2 cross@11, B1 go, back swing@-1 to the B side: free safety, #2 cross | #1 dig
//	  6.5 yd; right: the cross runs through his third while the dig holds him
//	tampa 2, P1 go, P2 out@5: strong corner, #1 go | #2 out
//	  2.4 yd; right: squat or sink; at one release only
//	quarters match, stress, P1 spot@5, P2 corner@10, P3 flat@2: overhang, #1 spot
//	  4.8 yd; right: he carried #2, the spot is passed on to him late
//	cover 2 carry, P1 slant@3, P2 flat@2: weak corner, backside #2 out | backside #1 go
//	  4.4 yd; right: squat or sink
//	cover 6, P1 post@12, P2 dig@12: middle, back check | #2 dig
//	  7.4 yd; right, as 2; at one release only
//	quarters match, P1 go, P2 shallow@4: weak hook, backside #2 out | #2 shallow
//	  5.3 yd; as 22, of another call
//	quarters match, stress, P1 go, P2 out@5: overhang, #2 out
//	  5.4 yd; right: he comes from inside
//	quarters match, solo, P1 spot@5, P2 sit@6, back flat@2: overhang, #1 spot | #2 sit
//	  3.1 yd; right: he walls the sit; at one release only
package stress
