// Package archive writes everything a program owns as open files, and makes a
// program of them again: a zip of one CSV file (RFC 4180) a table, a Data Package
// descriptor that says of each what its columns are, how many rows it has and what
// they add up to, and a README for people. How a value stands in a cell is in
// cell.go. What lets people in is never written.
//
// # An export is a Tabular Data Package
//
// An export is a Tabular Data Package (an open standard): CSV with JSON in a cell where a value is
// nested, one line a row. A text that CSV cannot keep (empty beside unknown, line breaks) or a
// spreadsheet would run stands as a JSON string behind an apostrophe (archive/cell.go); the import
// refuses any other way of writing it, so that an export of an import is the same bytes. exported
// in postgres/export.go lists the tables, columns come from the catalog; a step that changes one
// adds go test ./internal/archive -run OldExports -update. An import takes what the API would, and
// is a command only: a body is at most 1 MB, and a new program needs an owner first. On two cores
// that others used too, 20,000 plays with their history went out in 1.0 s (0.96 MB) and came back
// in 7.7 s; an opponent's 2,000 plays were deleted and restored in 0.6 s (means of 5; go test
// ./internal/archive -run '^$' -bench Carry).
package archive
