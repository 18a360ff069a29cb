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
// Why our own: a columnar library was tried (Apache Arrow for Go; make peers prints both). It has
// arrays and filters and no grouping, so the greater part would be here in any case, and its
// filter materializes a mask of all plays for each value asked for. An exact cube of common dimensions in
// PostgreSQL was tried as well: with a gain in it, which the median needs, it is as long as
// the plays, and it answers no other dimension.
package tally
