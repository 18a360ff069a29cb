// Package tally keeps a program's counted plays in memory as columns of small
// codes, and counts them by any dimensions under any filters. It knows no SQL: the store
// reads every dimension with the same SQL that its own questions use, so that there is one
// definition of each, and hands it over as text; here it becomes a code of the dimension's
// words (0: unknown).
//
// An [Image] never changes. Its plays stand game by game; a game whose plays changed is
// replaced as a whole by a [Builder], which shares all others with the image before. So
// questions read without a lock while the next image is made, and an image is of exactly
// one moment of the database: the store knows which.
//
// Everything a cell counts but throws' depths and times follows from a play's outcome
// (how it was called, its gain, its result and what that comes to on its down): a code of
// its own, so that a play is counted by adding one to its cell's number of that outcome.
// The sums and the exact median of the gain come from those numbers at the end.
//
// Where there are few cells and outcomes beside the plays, they are counted into a matrix of cells by
// outcomes, with nothing to look up. Over 300,000 invented plays that takes 15 ns a play and three
// dimensions without a filter, 6 with one, where piles alone took 72 and 28 (BenchmarkCount, two cores, load 4,
// in turn).
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
// (-questions 2000: 47,635 writes between them, no count differed; two cores, load 12 to 16, 444 s).
// Before it, an exact cube in PostgreSQL and Apache Arrow were tried (make
// peers prints them): package tally says why not.
package tally
