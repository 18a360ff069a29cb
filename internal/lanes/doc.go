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
// such threads, so that none of them holds one that tagging needs. Twenty hostile clients of
// another program (make hostile-load, two cores full of other work, load 8 to 24): storing a play
// took 96 ms in the median beside 31 alone in the same run and a board 960 beside 308; 62 beside
// 11 and 566 beside 119 in a quieter one. Before it was 342 beside 17 and 811 beside 112. p99 of
// storing was 0.40, 0.55 and 0.80 s in three runs (1.51 before), the worst board 2.1 to 4.3 s (3.3
// before): the aims, 200 ms and 1 s, are missed on a machine that others fill. On one nobody else
// used (load 2): storing a play 13 ms beside 7, p99 98 ms beside 75 (n 157), which meets the aim;
// a board 203 ms beside 90, the worst of 66 in 1.58 s, which does not. Since an address rests
// after each sign-in (load 3, 40 s): a play 11 ms beside 8, the worst of 76 in 248 ms; a board 164
// ms beside 117, the worst of 33 in 1.06 s. The 200,000 requests of make hostile met no answer
// over 1.45 s (load 9 to 15, 297 MB).
//
// # Who leaves stops his question
//
// Who leaves stops his question: the context is looked at between one man and the next while a
// call is read, between calls and pictures while they are played. Of 20 clients who left the
// largest call that is read the last was noticed after 32 ms (load 13; aim 50; 83 to 134 before a
// call was read so): go test ./internal/httpapi -run ClientLeaves -v.
package lanes
