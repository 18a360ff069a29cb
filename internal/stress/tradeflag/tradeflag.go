// Package tradeflag lets every test binary below internal/stress accept the
// flags of the trade runner, so that one command can be given to all of them:
// go test ./internal/stress/... -run TestTrade -v -args -conflicts FILE.
// Only the tests of package stress use the files; Value is for all.
package tradeflag

import (
	"flag"
	"path"
)

func init() {
	for _, name := range []string{"conflicts", "ownership", "pictures", "route-coverage", "target-lift", "separation",
		"motion"} {
		if flag.Lookup(name) == nil {
			flag.String(name, "", "for the trade runner of package stress")
		}
	}
	flag.String("value", "../../../shared/data/value", "folder of the value tables, from the top of internal/stress")
}

// Value lists where the folder of the value tables may be, wherever below
// internal/stress a test runs.
func Value() []string {
	given := flag.Lookup("value").Value.String()
	return []string{given, path.Join("..", given), path.Join("..", "..", given)}
}
