// Package postgrestest hands tests a migrated database on a real PostgreSQL:
// the server TEST_DATABASE_URL names, else a private one. It never skips.
//
// # Tests never skip
//
// Tests never skip for want of a database: each package starts a private server once, each test
// has a database cloned from a migrated template.
package postgrestest
