// Package postgres is the store: all SQL of the project, and nothing else.
// Every method takes the program first; every statement is keyed by it.
//
// # Routes are a typed array in the play's row
//
// Routes are a typed array in the play's row, not child rows: they are always read and written
// with their play, at most five, and were measured to read seven times and load three times faster
// than rows with a checked key. Domains inside the type keep the impossible out.
//
// # Identities are UUIDv7
//
// Identities are UUIDv7 made by the program, every table is keyed by program first: the data can
// be spread by program (TestKeyedByProgram lists the keys without it, and why).
//
// # Analysts of data read views, not tables
//
// Analysts of data read views, not tables (schema data, api data): a login at the database is of
// one program, looked up by session_user in every view. A setting that names the program, as the
// server's own walls have it, would be no wall here, since a login at the database sets what
// it likes. Views run with their owner's rights and as barriers (TestDataLoginSeesItsProgram tries
// a setting, roles, the tables and a function that tells which rows it is handed); no login has a
// right to a table. Every view and column has a COMMENT (TestDataIsDescribed), and what they call
// a success or a band is what tendencies count (TestDataCountsAsTendencies). What is left: a login
// may ask costly questions, over five connections at most; give it a replica where that matters.
//
// # Triggers write the history of plays
//
// Triggers write the history of plays, so that no way of changing one can forget to: edits, bulk
// edits, loads, merges, cascades, a hand at the database. The store tells the transaction who and
// how. What was done together shares a change, and undoing goes by it; it refuses to undo past a
// later change.
//
// # A delete moves rows aside
//
// A delete moves rows aside: keep writes what goes, and what hangs on it, as JSON into
// deleted_rows in the same transaction, so that no query has to leave out what is deleted; a
// restore puts the rows back with versions nobody has seen; a merge that plays missed is made up
// for as part of it (postgres/reword.go). What hangs on what is references in
// postgres/deletions.go (TestHangsOn holds it against the keys; named says a new kind's name for
// people). A deletion has the identity of its change, so undoing one restores it. A purge removes
// every trace but a word in the history of other plays; add what else a later table copies to
// traces. A whole program is deleted by api remove, which exports it first.
//
// # A merge of two words rewrites the plays
//
// A merge of two words rewrites the plays that use the first (their history has the word they were
// tagged with), rather than every query resolving words. A writer of plays holds the vocabulary by
// a shared advisory lock, a change of it by an exclusive one.
//
// # An Idempotency-Key is stored by the statement that stores the row
//
// An Idempotency-Key is stored by the statement that stores the row, with the answer: never one
// without the other. A repeat waits for the first and gets its answer; what failed leaves no key
// behind. PUT needs none: a version cannot be replaced twice, and who is unsure finds the change
// in the history (read the play first, then its history, then try again: in that order).
//
// # A create asks the database everything in one go
//
// A create asks the database everything in one go (five round trips, not nine). On two idle cores
// twenty analysts who never pause stored 1,277 plays a second (n 10,000), p99 34 ms; with half a
// second between plays p99 is 5.7 ms (n 1,200); on a loaded machine up to 210 and 134 ms. go test
// ./internal/httpapi -run 'TestTaggingLoad|TestTwentyThousandWrites' -load -v -timeout 30m
// measures it, and counts 20,000 writes over a network that loses answers.
//
// # A replica is measured by places in the log, not by times
//
// A replica is measured by places in the log, not by times (postgres/replica.go): every half
// second the primary is asked how far its log reached and the replica how far it has come, so it
// is known as of which moment the replica has everything, also when nothing is written. It is read
// for the routes of costs alone, not by somebody whose last write it has not yet, behind the same
// walls; a question it fails is put to the primary in the same request. Overhang-Read says which
// it was. Conflicts of replay with long questions are PostgreSQL's: set hot_standby_feedback on
// the replica.
//
// # Walls between programs are the database's
//
// Walls between programs are the database's. The server serves through a pool under the role
// overhang_server, which owns nothing and, by row-level security, sees the rows of the one program
// its transaction was told (postgres.InProgram; told with the transaction's first message, which
// costs no round trip, so that a pooler may hand connections on between transactions: TestPooler;
// told to the connection instead, a list took 3.6 ms and not 2.3, a stored play 4.7 and not 3.7:
// medians in turn, n = 900 and 499, on a busy machine). wall_programs() runs after every migration
// and puts the wall through every table with a program_id, so that no later table is forgotten;
// TestWalls asks every operation of the document across programs. The door itself
// (httpapi.WithLogin) looks people up through the pool without walls. What an operation needs is
// its x-needs in the document, else reader to read, analyst to write.
package postgres
