// Package localdb finds PostgreSQL on the machine and runs a private server of
// its own from it, so that a newcomer needs no database: cmd/api uses it when no
// database is configured, and every test does.
//
// The server listens on loopback only, with a password of its own that is kept
// in the data folder, readable by its owner alone. As root it runs as an
// unprivileged user, since PostgreSQL refuses root.
//
// # The private PostgreSQL
//
// The private PostgreSQL listens on loopback with a password kept in its folder (mode 0600) and
// runs as an unprivileged user under root. A start on a folder whose server still runs attaches to
// it.
package localdb
