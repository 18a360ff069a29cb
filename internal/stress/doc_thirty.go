// # Thirty findings, read
//
// Drawn by TestThirty (its seed is fixed) from all findings over two yards of book x library,
// as the engine stood when it was drawn, and read against the timeline by the rules of the
// trade notes: right 26, the man next door 2, at one release only 1, nonsense 1, a wrong
// man 0. (The first engine: 17 right, 6 inflated, 1 weak, 3 the wrong man, 3 nonsense.) Call,
// picture: man, open throw | what holds him; then how open it was, and what was seen.
//
//	fire zone, P1 corner@15, P2 sail@12, P3 flat@3: middle, #3 flat | the run
//	  11.0 yd; right: #3 is the middle's (3.14), who has the fake first
//	quarters match, solo, P1 post@10, P2 dig@10, B2 shallow@4: middle, backside #2 shallow | #2 dig
//	  5.5 yd; right: the first crosser is his as the dig comes in behind
//	cover 3 mable, P1 dig@16, P2 seam, B2 shallow@3: weak corner, backside #1 out | backside #1 out
//	  2.8 yd; right: man to man inside, the out is away from him
//	cover 2 spot, P1 post@12, P2 whip@5, P3 dig@10, B1 whip@5: weak hook, #3 dig | backside #2 hook
//	  5.4 yd; the man next door: the hole is as near, and the dig comes from his side
//	cover 3 mable, P1 hitch@6, P2 corner@12, P3 post@10: weak hook, back check | backside #1 dig
//	  7.4 yd; right: the hooks drop, the back sits under them
//	tampa 2, P1 hitch@6, P2 corner@12: strong corner, #2 corner | #1 hitch
//	  2.5 yd; right: the half safety is late to the corner while he sits on the hitch
//	cover 6, P1 go, P2 option@6: middle, #2 option | back late flat
//	  3.4 yd; right: the back in the flat is his #3, the option comes in behind him
//	cover 3 match, P1 go, P2 arrow@3, P3 stick@6: strong hook, #3 stick | the run
//	  3.1 yd; right: he fits the draw
//	cover 3 spot, P1 hook@12, P2 seam, back angle@1: free safety, backside #1 slant | #2 seam
//	  3.9 yd; nonsense: nobody throws a slant after 2.7 s; the hook is nearest
//	quarters match, stress, P1 post@12, P2 dig@12: weak safety, backside #1 dig | backside #2 seam
//	  2.3 yd; right: #2 deep takes him from the dig
//	quarters match, P1 in@5, P2 dig@12: weak corner, backside #1 hitch | backside #2 corner
//	  6.3 yd; right: the smash rule gives the hitch
//	quarters, both corners locked, backside safety to #3, P1 hitch@6, P2 corner@12: middle, back check
//	  7.4 yd; right: the back under a hook who drops
//	cover 3 spot, P1 inside release seam, P2 wheel@3: weak overhang, backside #2 seam
//	  3.8 yd; the man next door, and at one release: the seam is the free safety's
//	tampa 2, P1 go, P2 flat@3, P3 seam, B1 post@12: strong hook, back check
//	  13.3 yd; right: in trips nobody has the back once the middle runs with #3
//	quarters with exchange, P1 out@5, P2 corner@12: middle, back check
//	  7.4 yd; right, as 12
//	cover 2 carry, P1 post@10, P2 corner@12: middle, backside #1 slant
//	  6.6 yd; right: the hole alone with a slant from behind
//	quarters spot, P1 go, P2 flat@3, P3 seam, B1 post@12: strong overhang, #2 flat | #3 seam
//	  5.7 yd; right man, at one release only
//	cover 3 spot, P1 go, P2 seam, P3 bender@12, B1 go: strong corner, #2 seam | #1 go
//	  3.3 yd; right: go and seam on one third; the free safety has #3
//	fire zone, P1 curl@12, P2 shallow@5, B2 dig@12, back swing@-1 to the B side: middle, #2 shallow | backside #2 dig
//	  7.2 yd; right: he goes with the back, the crosser comes under him
//	quarters match cover-down, P1 hitch@6, P2 corner@12, P3 post@10: weak hook, backside #1 dig | back check
//	  4.7 yd; right: he goes with the back, the dig is in his zone
//	quarters match, special, P1 go, P2 arrow@3, P3 stick@6: middle, #3 stick | the run
//	  3.2 yd; right: he fits the draw
//	tampa 2, P1 slant@3, P2 flat@2: weak corner, backside #2 out | backside #1 go
//	  4.4 yd; right: squat or sink
//	cover 3 match, P1 shallow@4, P2 hook@8, back angle@1: weak hook, #1 shallow | back angle
//	  5.2 yd; right: the angle holds him from the shallow
//	quarters, both corners locked, backside safety to #3, P1 shallow@5, P2 dig@12: middle, #2 dig | #1 shallow
//	  2.6 yd; right: high-low on the hook
//	cover 3 spot, P1 hitch@6, P2 hitch@6, B1 hitch@6, B2 hitch@6: strong overhang, #1 hitch | #2 hitch
//	  4.2 yd; right: two hitches for one curl-flat man
//	palms, P1 comeback@15, P2 flat@2 after a fake block, B1 over@12: strong corner, #2 flat | #1 comeback
//	  7.4 yd; right: he sinks under the comeback and leaves the flat; most of the yards are the sink
//	quarters match, special, P1 post@10, P2 dig@10, B2 shallow@4: strong safety, #1 post | #2 dig
//	  2.1 yd; right: #2 past seven takes the robber from the post
//	quarters with exchange, P1 go, P2 wheel@4: middle, back check
//	  7.4 yd; right, as 12
//	quarters match cover-down, P1 curl@12, P2 hook@8, P3 flat@2, B1 go: middle, #1 curl | #2 hook
//	  2.6 yd; right: he pushes to the curl as the overhang goes to the flat
//	palms, P1 post@12, P2 post@10: weak corner, backside #2 flat | backside #1 curl
//	  3.5 yd; right: #2 out is his, from under #1
package stress
