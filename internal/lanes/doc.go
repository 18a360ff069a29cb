// Package lanes bounds how much a server does at once: a bounded queue in front of each
// kind of work, and so many connections. It knows no request, only for whom one asks.
//
// # Queues are short and bounded
//
// Queues are short and bounded (internal/lanes, which request goes where in httpapi/queue.go):
// each kind of work has a lane with so many running, so many waiting and for so long; what does
// not fit gets 503 at once. One person holds a share of a lane at most and has a pace (rates.go),
// else 429. Lanes together run fewer requests than the pool has connections, so nobody waits
// twice; the engine gets half of the processors; /healthz and /readyz never wait. A new costly
// question is a line of costs.
//
// # What lasts is done aside
//
// What lasts is done aside (lanes/aside.go): the engine's lanes and the hashing of passwords work
// on threads of their own with a niceness of 4 more, 13 more for a program that had 3 s of
// processor time in the last ten or so, and for what has taken a second itself (9 after 0.3 s), so
// that a board passes a search; the runtime gets as many processors more as there may be
// such threads, so that none of them holds one that tagging needs.
//
// Twenty hostile clients of another program (make hostile-load, 60 s, two cores, load 1): storing a
// play takes 8 ms beside 7 alone, p99 69 ms (n 117, the worst 530), a board 145 ms beside 104, the
// worst of 52 in 451 ms, which meets the aims of 200 ms at p99 and 1 s; at most 617 MB. Since boards are
// kept and a cold one works on all cores: p99 55 ms (n 117, the worst 69), the worst of 60 boards 159 ms. Before
// what lasts came later the worst board took 1.1 to 1.9 s. What it waited for, seen in a trace
// of the moment the crowd comes: half a second was the crowd's own, which made its bodies on the
// same cores; 16 new connections at once for the door's look-ups (four now, and eight are kept
// open behind the walls); and the collector, which stops every thread, the engine's last
// (cmd/api, ease). On a machine that others fill (load 8 to 24) the aims are missed: p99 of storing
// 0.40 to 0.80 s, the worst board 2.1 to 4.3 s before these changes, not read since.
//
// # Leaving stops a question
//
// Leaving stops a question: the context is looked at between one man and the next while a
// call is read, between calls and pictures while they are played. Of 20 clients who left the
// largest call that is read the last was noticed after 32 ms (load 13; aim 50; 83 to 134 before a
// call was read so): go test ./internal/httpapi -run ClientLeaves -v.
package lanes
