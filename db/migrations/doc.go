// Package migrations holds the schema as numbered steps and runs them.
//
// # Migrations
//
// Migrations run at every start under an advisory lock of their own: the library locks each step,
// but not the look at the version before it.
package migrations
