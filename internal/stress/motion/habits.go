package motion

import "overhang/internal/stress/field"

// What a man does with his feet, in numbers a coach could argue with. Common practice, no
// source, unless it is said otherwise; what was tried is in the documentation of package stress.

// Man is how a man covers one receiver.
type Man struct {
	Hip      field.Point          // where a man on the hip runs: so far to his side of the receiver, and behind him
	Match    field.Seconds        // he closes on a receiver whom he runs with in about this time
	Give     float64              // share of his receiver's speed with which he backs off one who comes to him
	Keep     field.Seconds        // he is back at his shade and his cushion in about this time
	Backs    field.YardsPerSecond // a receiver who is not near yet is backed off at this pace
	Turn     field.Yards          // so near a receiver is on him: he turns and runs,
	Ahead    field.Seconds        // and so long before that, so as to be at speed when they are level
	Level    field.Yards          // nearer than this he runs as the receiver does,
	Cushion  field.Yards          // on top of him by so much
	Least    field.Yards          // beside him by so much at least,
	Most     field.Yards          // and at most
	Beside   field.Yards          // who lines up within this of a receiver has no leverage
	Released field.YardsPerSecond // slower than this a back is still to release, and his man waits,
	Back     field.Yards          // then comes up to so much
	Near     field.Yards          // farther off than this he cuts a receiver off; a yard nearer he only matches him
	Cut      float64              // share of his speed that he counts on when he cuts off,
	Far      field.Seconds        // looking no farther ahead than this
}

// Par is where the reference man lines up who has nothing else to do.
type Par struct {
	Off   field.Yards // a receiver, and deep of the ball on a back
	Shade field.Yards // to either side, the better of the two
	Back  field.Yards // from the ball, on a back
}

// Zone is how a zone man plays the threats in his zone.
type Zone struct {
	Soft        field.Yards   // over so much a threat enters or leaves a zone, so that no step falls on a line
	Close       field.Seconds // he is where he wants to be in about this time
	Stem        field.Seconds // a receiver on his stem is met where he will be then,
	Broken      field.Seconds // one who has broken so much sooner
	One         float64       // share of the way to one threat that he leaves his landmark; to several all
	Wide, Short field.Yards   // a deep zone's threats may be so much wider, and so much shorter, than it is
	DeepOne     float64       // share of the way to one threat that a deep man leaves his landmark:
	DeepSeveral float64       // so much less for several, for he keeps the shade he was given
	Over        field.Yards   // a deep man stays so far on top,
	Runs        field.Yards   // and who is so far under that turns and runs, two yards further wholly
}

// Under is which throws to his receiver an underneath man owes; the others are somebody else's.
type Under struct {
	Deep field.Yards // none caught deeper
	Past field.Yards // none farther past the ball on the other side
}

// Help is how a man helps on a receiver who is another's, or squeezes him.
type Help struct {
	In      field.Yards   // so far inside of the receiver, half of it outside when he squeezes,
	Over    field.Yards   // and on top,
	Under   field.Yards   // or beneath when he squeezes
	Match   float64       // share of the receiver's speed that he runs with
	Close   field.Seconds // he is there in about this time
	Lead    field.Seconds // under one he squeezes he looks so far ahead, at both,
	Between float64       // is at this share of the way from the receiver he squeezes to the one he owes,
	Sink    field.Yards   // no deeper than a cloud corner: some ten or twelve yards (trade notes 3.4, 3.6),
	Beneath field.Yards   // beneath the receiver by so much,
	Middle  field.Seconds // where he is in about this time
}

// Fit is how a man goes to his fit while the runner may have the ball, and at the passer.
type Fit struct {
	Share     float64 // of his speed
	DeepShare float64 // of a man deeper than Deep
	Deep      field.Yards
	Close     field.Seconds // he is there in about this time
	Rush      float64       // share of what he could run that a blocked rusher comes
	Comes     field.Seconds // a man who rushes late is at his speed in about this time
}

// Bodies are obstacles: a man who runs through a bunch, a mesh or across a released back goes
// round them, and so does he round the man who has another receiver. Round was tried from 2 to 3.
type Bodies struct {
	Round    field.Yards   // so near to a body a man begins to go round it
	Whole    field.Yards   // so much nearer it is wholly in his way
	Cost     float64       // share of his speed that it costs
	Most     field.Seconds // more than this bodies cost nobody
	Together field.Yards   // receivers who come so near bring their men together
	Off      field.Yards   // another's man is at most so far beside his receiver,
	Gives    field.Yards   // on top of him by so much at least,
	Back     field.Yards   // and by so much once the receiver has broken
	Closes   field.Seconds // for so long
	Ahead    field.Yards   // a body so far behind him is wholly out of his way
}
