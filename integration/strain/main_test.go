// Package strain puts the built programs under faults and load, each as a process
// of its own on a real, durable PostgreSQL, and counts what became of every write.
//
//	go test ./integration/strain -run TestFaults -faults -v -timeout 60m
//	go test ./integration/strain -run TestLoad -load 10m -v -timeout 60m
//
// Without the flags both run in short, so that they do not rot.
package strain

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	// The programs are built by a command, which Go's cache of test results does
	// not see: these imports make a change of any package run the tests again.
	_ "overhang/internal/httpapi"
	_ "overhang/internal/intake"
	_ "overhang/internal/setup"
)

var binaries string // folder of the built programs

func TestMain(m *testing.M) { os.Exit(build(m)) }

func build(m *testing.M) int {
	dir, err := os.MkdirTemp("", "overhang-bin-")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	binaries = dir
	for _, name := range []string{"api", "ingest"} {
		if _, err := os.ReadDir("../../cmd/" + name); err != nil { // read, so that the cache watches it too
			panic(err)
		}
		if out, err := exec.Command("go", "build", "-o", filepath.Join(dir, name), "../../cmd/"+name).CombinedOutput(); err != nil {
			fmt.Fprintf(os.Stderr, "go build ./cmd/%s: %v\n%s", name, err, out)
			return 1
		}
	}
	return m.Run()
}
