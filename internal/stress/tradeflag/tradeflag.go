// Package tradeflag lets every test binary below internal/stress accept the
// flags of the trade runner, so that one command can be given to all of them:
// go test ./internal/stress/... -run TestTrade -v -args -conflicts FILE.
// Only the tests of package stress use the values.
package tradeflag

import "flag"

func init() {
	for _, name := range []string{"conflicts", "ownership", "pictures", "route-coverage", "target-lift", "separation", "motion"} {
		if flag.Lookup(name) == nil {
			flag.String(name, "", "for the trade runner of package stress")
		}
	}
}
