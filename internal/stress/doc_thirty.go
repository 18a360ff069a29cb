// # Thirty findings, read
//
// Drawn by TestThirty (its seed is fixed) from all findings over two yards of book x library,
// as the engine stood when it was drawn, and read against the timeline by the rules of the
// trade notes: right 14, the right man but not what holds him 2, the right man but at one release
// only 6, the man next door 7, right throw but nobody's 1. Of the right ones three (4, 7, 13) are
// so by a rule or a stand that no coach teaches, and of all thirty a man drops to where nobody is
// left in three (8, 29, 30).
// (The draw before: right 23, one release 3, the man next door 3, nonsense 1. Before throws in front
// of zones, pairs and owners were told as now: right 22, one release 7, nonsense 1. The movement
// before: 26 right, 2 the man next door, 1 at one release only, 1 nonsense. The first engine: 17
// right, 6 inflated, 1 weak, 3 the wrong man, 3 nonsense.) Call, picture: man, open throw | what
// holds him; then how open it was, and what was seen.
//
//	tampa 2, P1 hitch@6, P2 corner@12, P3 seam: strong hook, back late flat
//	  8.4 yd; right throw, nobody's: the middle runs the pole; the hook (at 10) and the corner are both over the
//	  six-yard hitch
//	quarters match cover-down, P1 go, P2 shallow@4: weak hook, backside #2 out | #2 shallow
//	  5.3 yd; right man, at one release only: the out is away from him; the shallow is not yet his side's
//	cover 3 sky, P1 corner@10, P2 over@6, B1 post@12, B2 mesh@5, back flat@2: strong overhang, backside #2 mesh |
//	    back flat
//	  5.5 yd; right: the flat takes him from the curl; the hook lets the mesh run by a yard in front of him
//	quarters, closed back side: corner to the deep half, P1 curl@12, P2 hook@7, B1 curl@12, back flat@2, back2
//	    flat@2 to the B side: overhang, back flat | #2 hook
//	  11.7 yd; right man, by a stand no coach teaches: he sits at 9 inside the hook; the middle and the weak hook
//	  both run with the far back, so he alone has the near one
//	quarters spot, P1 dig@12, P2 seam: weak safety, backside #1 dig | backside #2 seam
//	  4.7 yd; the man next door: he has the seam; the dig is the overhang's and the middle's, five yards off
//	cover 1, P1 shallow@4, P2 hook@8, back angle@1: linebacker, back angle | back angle
//	  2.3 yd; right man, at one release only; the hole is as near
//	cover 3 match, P1 slant@3, P2 slant@3, P3 flat@2: strong hook, #2 slant | #3 flat
//	  8.0 yd; right by the call's rule, which no coach teaches: the hook, a yard from the slant, leaves it for a
//	  flat that the overhang is nearer to; they would trade
//	quarters spot, P1 shallow@4, P2 hook@8, back angle@1: middle, back angle | #2 hook
//	  4.6 yd; right: hook and angle for the only man inside, who is passed on the inside; the overhang drops
//	  outside, where nobody is
//	tampa 2, P1 corner@15, P2 sail@12, P3 flat@3: strong corner, #2 sail | #3 flat
//	  4.2 yd; right: sail and flat for a cloud corner whom the fake drew in
//	palms, P1 post@12, P2 dig@10, P3 whip@5, B1 comeback@15: middle, #3 whip | #2 dig
//	  3.5 yd; the man next door: #3 out is the overhang's, who had dropped to 10 by then, outside #2
//	quarters match, stress, P1 post@12, P2 dig@12, B2 shallow@4, back wheel@1: middle, #2 dig | back wheel
//	  2.4 yd; the man next door: the dig is the strong safety's, on it with two more; he is out with the wheel;
//	  one release
//	quarters match, solo, P1 post@12, P2 in@4: strong safety, backside #2 cross | #1 post
//	  3.8 yd; right: the cross comes into his quarter as he tops the post
//	palms, P1 spot@5, P2 corner@10, P3 flat@2: overhang, #3 flat | #1 spot
//	  5.6 yd; right by the call's rule; a coach has the corner outside the bunch take the first man out: here he
//	  stands inside #1 and goes in with the spot
//	quarters match, P1 go, P2 shallow@4: weak hook, backside #2 out | #2 shallow
//	  5.3 yd; right man, at one release only, as 2
//	palms, P1 post@14, B1 over@15: strong safety, backside #1 over | #1 post
//	  2.8 yd; right: the over comes into his quarter as he tops the post; the weak corner trails
//	quarters match cover-down, P1 hitch@6, P2 corner@12, P3 post@10: strong safety, #3 post | #2 corner
//	  3.4 yd; the man next door: #3 vertical is the far safety's in solo, who is nearest; one release
//	palms, P1 dig@12, P2 cross@11, B1 go, back swing@-1 to the B side: weak hook, backside #2 hook | #2 cross
//	  3.8 yd; right man, but the swing holds him, not the cross, which is on the other side
//	tampa 2, P1 hitch@6, P2 corner@12, P3 seam: strong half safety, #2 corner | #3 seam
//	  6.3 yd; right: corner and seam in his half; a coach pushes him wider, the middle carries the seam
//	quarters match, stress, P1 post@12, P2 dig@10, P3 whip@5, B1 comeback@15: strong safety, #2 dig | #1 post
//	  3.4 yd; the man next door: the dig is the overhang's, who trails; he is thirteen yards off, on the post
//	quarters match, P1 hitch@6, P2 hitch@6, B1 hitch@6, B2 hitch@6: weak hook, backside #2 hitch | backside #1
//	    hitch
//	  3.8 yd; right: two hitches for one man underneath; but he backs to 9 from a hitch at 5, the ball in the air
//	palms, P1 shallow@5, P2 dig@12: weak safety, backside #1 dig | backside #2 hook
//	  4.5 yd; right: he drives the hook, the dig goes behind him, the corner is outside
//	quarters, both corners locked, backside safety to #3, P1 corner@15, P2 sail@12, P3 flat@3: overhang, #3 flat |
//	    the run
//	  7.2 yd; right: the run takes him from the flat
//	quarters match, special, P1 curl@12, P2 shallow@5, B2 dig@12, back swing@-1 to the B side: weak hook, backside
//	    #2 dig | back swing
//	  2.6 yd; the man next door: #2 past seven is the weak safety's, who is on it; he is out with the swing
//	cover 3 sky, P1 go, P2 seam, B1 go, B2 seam: strong corner, #2 seam | #1 go
//	  4.3 yd; the man next door: the seams are the free safety's, who has two; the corner has the go
//	quarters with exchange, P1 curl@12, P2 hook@8, P3 flat@2, B1 go: middle, #1 curl | #2 hook
//	  2.5 yd; right: he pushes to the curl as the overhang goes with the flat, and the hook holds him; the corner
//	  is over it
//	cover 2 spot, P1 out@10, P2 out@10: strong hook, backside #2 cross
//	  5.1 yd; right man, at one release only: #2's out holds him, which is not said; the middle is as near
//	quarters with exchange, P1 comeback@15, P2 flat@2 after a fake block, B1 over@12: weak hook, backside #1 over
//	    | the run
//	  2.7 yd; right man, at one release only; the middle and the weak safety are as near
//	quarters match, stress, P1 curl@12, P2 flat@3: middle, backside #2 shallow | back late flat
//	  7.0 yd; right man for the crosser, who runs by him as he comes down from 9; but the back is the weak hook's
//	quarters match, no trips check, P1 shallow@4, P2 hook@8, back angle@1: middle, back angle | #1 shallow
//	  4.2 yd; right man, at one release only; overhang and corner stand outside, where nobody is left
//	cover 6, P1 shallow@5, P2 dig@12: middle, #2 dig | #1 shallow
//	  2.5 yd; right: shallow in front, dig behind; the overhang goes out to the curl, where nobody is left
package stress
