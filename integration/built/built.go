// Package built builds the programs once for a package of tests that drives them.
package built

import (
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// Dir is the folder of the built programs while Run runs.
var Dir string

// Run builds api and ingest from the top of the checkout, seen from the package's
// own folder, runs the package's tests and returns their code. The package must
// import what the programs are made of, or Go's cache of test results does not see
// a change of it. With -short and no -run, no program is built: the tests that need
// none run, which the pattern unbuilt names.
func Run(m *testing.M, top, unbuilt string) int {
	flag.Parse()
	if run := flag.Lookup("test.run"); testing.Short() && run.Value.String() == "" {
		run.Value.Set(unbuilt)
		return m.Run()
	}
	return built(m, top)
}

func built(m *testing.M, top string) int {
	dir, err := os.MkdirTemp("", "overhang-bin-")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	Dir = dir
	for _, name := range []string{"api", "ingest"} {
		source := filepath.Join(top, "cmd", name)
		if _, err := os.ReadDir(source); err != nil { // read, so that the cache watches it too
			panic(err)
		}
		cmd := exec.Command("go", "build", "-o", filepath.Join(dir, name), "./cmd/"+name)
		cmd.Dir = top
		if out, err := cmd.CombinedOutput(); err != nil {
			fmt.Fprintf(os.Stderr, "go build ./cmd/%s: %v\n%s", name, err, out)
			return 1
		}
	}
	return m.Run()
}
