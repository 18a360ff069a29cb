package picture

import (
	_ "embed"
	"encoding/csv"
	"strconv"
	"strings"
)

//go:embed runs.csv
var runsCSV string

// A Scheme is how a run is blocked and where it goes. Common practice, no source.
type Scheme struct {
	Concept string
	Gap     string // letter of the gap it is aimed at
	Side    int    // +1 the play side, -1 the other
	Pullers int    // linemen who pull to it
	Leads   int    // backs who lead through it
	Bends   string // letter of the gap it may bend back to, "" none
	Also    string // another name, "" none
}

// Runs returns the built-in runs in the order of their file.
func Runs() (out []Scheme) {
	rows, err := csv.NewReader(strings.NewReader(runsCSV)).ReadAll()
	if err != nil {
		panic("picture: runs.csv: " + err.Error())
	}
	for _, r := range rows[1:] {
		pull, e1 := strconv.Atoi(r[3])
		lead, e2 := strconv.Atoi(r[4])
		if e1 != nil || e2 != nil {
			panic("picture: runs.csv: " + r[0])
		}
		side := 1
		if r[2] != "play" {
			side = -1
		}
		out = append(out, Scheme{r[0], r[1], side, pull, lead, r[5], r[6]})
	}
	return out
}

// LookupRun returns the run of a name; one that is not known is blocked as inside zone.
func LookupRun(concept string) Scheme {
	all := Runs()
	for _, r := range all {
		if strings.EqualFold(r.Concept, concept) {
			return r
		}
	}
	return all[0]
}
