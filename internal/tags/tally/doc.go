// Package tally keeps a program's counted plays in memory as columns of small
// codes, and counts them by any dimensions under any filters. It knows no SQL: the store
// reads every dimension with the same SQL that its own questions use, so that there is one
// definition of each, and hands it over as text; here it becomes a code of the dimension's
// words (0: unknown).
//
// An [Image] never changes. Its plays stand in segments of many games; where a game's plays change, a
// [Builder] makes a segment of the new ones and copies the header of the old, in which the game is no more; all else
// is shared with the image before. So questions read without a lock while the next image is made, and an image is
// of exactly one moment of the database: the store knows which.
//
// Everything a cell counts follows from four numbers of a play: its outcome without the gain (how it was called, its
// result and what that comes to on its down), its gain, and the throw's depth and time. A play is counted by adding one
// at each of the four in its cell's row; the sums and exact medians come from the rows at the end. Where there
// are few cells beside the plays, rows stand in one matrix with nothing to look up.
//
// From 50,000 plays on, a question whose dimensions and filters come a second time has a cube counted: a row for each
// combination of their words, whatever the filters let through. It answers from then on by adding its rows
// up, with what images since took out and put in; it is counted anew when that is more than a 64th of the plays. Cubes
// take at most an eighth of the image's memory; those that were not asked for the longest go first.
// A fixed set of common dimensions would have been fitted to the questions that somebody chose.
//
// Ten million invented plays, processor time in ms for one dimension and two filters, three and one, three and none
// (BenchmarkKept of integration/peers, two cores, load 4 to 16): 98, 148 and 188 with a segment for
// each game and one joint code of outcome and gain; 14, 22 and 32 now; asked again, from a cube, under .1. Sixty random
// questions took 24 ms at the median by the clock and 287 at worst: those by game or opponent have tens of thousands
// of cells and no cube.
//
// Why our own: a columnar library was tried (Apache Arrow for Go; make peers prints both). It has
// arrays and filters and no grouping, so the greater part would be here in any case, and its
// filter materializes a mask of all plays for each value asked for. An exact cube of common dimensions in
// PostgreSQL was tried as well: with a gain in it, which the median needs, it is as long as
// the plays, and it answers no other dimension.
//
// # Counts come from plays kept in memory
//
// Counts come from plays kept in memory (internal/tags/tally, postgres/kept.go): when the questions
// so far were over 1,000 plays together, the next has a program's counted plays read into columns of small
// codes, game by game, by the same SQL that questions use (one definition of a dimension). A
// trigger writes which games a transaction touched, with its transaction (touched_games, xid8); an
// image has the snapshot (pg_snapshot) of the moment it is of. Every question first asks, in one
// statement, what its snapshot does not show of them, and reads those games again: so an answer is
// never older than the last acknowledged write of any server, servers tell each other nothing, and
// writers have no counter to queue at (a number of versions per program would have every tag wait
// for an import of a season). An image goes when PostgreSQL was started anew (another one counts
// transactions otherwise), when it was not asked for an hour, or when the memory is needed. What
// it cannot keep exactly (more than 65,535 words of a dimension, a throw's time beyond six
// decimals, no room) the plays answer, as they do while more than 200 games are to be read again.
// TestKeptIsThePlays asks random questions both ways as of one moment while eight writers write
// (-questions 2000: 12,265 writes between them, 1,121 cubes at the end, no count differed; two cores, load 1, 77 s).
// Before it, an exact cube in PostgreSQL and Apache Arrow were tried (make
// peers prints them): package tally says why not.
package tally
