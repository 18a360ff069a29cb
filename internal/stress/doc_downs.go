// # Downs and distances
//
// A defense knows where the line to gain is (package motion, Sticks): under the deep zones men
// drop to it, a yard past and no more than five deeper than they are taught, come up for nothing
// in front of it until it is thrown, and then all of them break as if the ball were theirs (.35 s;
// else .65). On a short third down they squat, four yards past the line at most. On a long one
// nobody looks for the run and no fake holds anybody, but of an RPO or a draw. Man to man is played
// alike. The passer knows the line too: a throw that makes it is worth .08 more for each
// yard that it is further than on first and ten (Passer.Line). All common practice, no source.
//
// A picture is moved once for the downs that are played alike (Params.Bands): first and second down
// under 6.5 yards of need as taught; third and fourth down under 3.5, and under 6.5; any down under 11,
// and past it. The line is taken to be at 2, 5, 8 and 14 yards. A down nobody knows goes by its need alone.
//
// How the numbers were chosen. No earlier season's table by down was at hand, and what 2019 to 2021 say
// is all of downs as taught: not one of their figures moves, nor of the same figures of 2022 (L,
// weighted, Z, R, W, separation). The numbers are round ones of the trade, but
// variants were held against the whole of 2022 while they were chosen, many times: 2022 is not unseen
// for them. Its odd weeks (rms by down .042 to .038) and its even ones (.079 to .055; a half season's
// own error is .03 to .06 a cell) were printed apart only afterwards, for several variants. In all:
//
//	                                       before   now     2022
//	man less zone, success                 -.067    -.059   -.040
//	  1st 7-10                             -.086    -.085   -.106
//	  2nd 1-3                              -.086    -.085   -.085
//	  2nd 7-10                             -.075    -.075   -.066
//	  3rd 1-3                              -.086    -.073   -.041
//	  3rd 7-10                             -.026    -.009    .036
//	  3rd 11+                               .008     .082    .095
//	  rms                                   .048     .025
//	within a situation, r                   .644     .700
//	zones, 3rd and 11+: past the line       .200     .234    .284
//	  a catch short of it makes it          .201     .129    .093
//	men, the same: past the line            .215     .422    .544
//
// One by one, man less zone over all and rms by down: nobody comes up -.062 .032 (else as taken
// but for who looks for the run: -.060 .028); only one's own ball is broken on at .35 s -.064 .036; the
// passer does not know the line -.061 .029; landmarks 0, 2 or 3 yards past the line .029 .028 .028;
// deep men two yards deeper on long downs .038 beside .038, left out. Dropping by half of what the line
// is further than usual (hooks at 12 on 3rd and 8) loses .008 there: men past the line leave the ground
// in front of it. What stays wrong: on 3rd and 7 to 10 zones here let 52% of throws past the line be
// caught, there 44%; rushes are harder there (pressure .37 beside .27 on first down) and here alike.
//
// # When the passer throws
//
// The median throw is at 2.2 s, as soon as the drop is done (Clock.Rhythm); the season's is 2.72, 2.60
// and 2.50 at four, five and six men. Every receiver's best moment is the first one allowed, since
// waiting costs him and men close in. Tried, and not taken, as L, Z, W of 2019 to 2021; L, W,
// separation of 2022; median at four men (each time the rush was told the clock that was left over):
//
//	as it stands                               .680 .466 .798   .789 .606 .186   2.2
//	the drop is done at 2.4 s                  .679 .376 .783   .778 .580 .258   2.4
//	at 2.6 s, the last throw at 3.8            .668 .436 .779   .756 .576 .266   2.6
//	waiting costs .3 a second, or nothing      .653 .468 .803   .750 .613 .511   2.2
//	                                           .615 .422 .799   .708 .634 .822   2.5
//	no throw over .4 s before the break        .671 .392 .791   .787 .581 .292   2.2
//	he reads one after another, .25 s each,    .717 .458 .795   .753 .605 .303   2.5
//	  last break first, those named, the back
//	  last (first break first: .668 .470 .793, 2022 .751 .586, 2.2)
//
// Reading one after another is the way that football is taught and the only one that gains where
// passers throw on the earlier seasons; but separation leaves its aim, man less zone is at
// -.063 and a blitz at -.014 points. It wants the rush and the run after the catch fitted anew.
//
// Drops of three lengths, a third of the throws each (today's figures, as it stands .681 .479 .797, 2022 .787
// .607 .192): done at 2.2, 2.6 and 3.0 s .679 .509 .791, 2022 .755 .587 .244, medians 2.4, 2.2, 2.2; done at 2.4, 2.7
// and 3.0 .669 .473 .784, 2022 .736 .562 .269, medians 2.6, 2.4, 2.4. The second is nearly on time, but man
// less zone in success is -.062, the spread .042, two-high less one-high -.002 and W under its aim: four
// lines lost for one.
//
// Of what is left about half is the rush: all throws of that season have their median at 2.64 s (screens
// too), those without pressure at 2.45 and those under it at 3.04 (ref_time_to_throw), since a passer who is
// moved off his spot throws later, and here nobody is (moved by .7 s on a third of throws, half would be out by
// 2.4: arithmetic on the same shares, not built). Throws are closer together here as well: with every
// moment counted by how likely it is, a quarter and half are out by 2.2 s and three quarters by 2.4 at
// four men (there 2.24, 2.72, 3.30); a sixth is out by 2.0.
package stress
