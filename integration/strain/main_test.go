// Package strain puts the built programs under faults and load, each as a process
// of its own on a real, durable PostgreSQL, and counts what became of every write.
//
//	go test ./integration/strain -run TestFaults -faults -v -timeout 60m
//	go test ./integration/strain -run TestLoad -load 10m -v -timeout 60m
//
// Without the flags both run in short, so that they do not rot.
package strain

import (
	"os"
	"testing"

	"overhang/integration/built"
	// The programs are built by a command, which Go's cache of test results does
	// not see: these imports make a change of any package run the tests again.
	_ "overhang/internal/database/setup"
	_ "overhang/internal/httpapi"
	_ "overhang/internal/tags/intake"
)

func TestMain(m *testing.M) { os.Exit(built.Run(m, "../..")) }
