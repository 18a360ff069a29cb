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
	// For who draws it: how those of the line block who do not pull (zone and reach step to
	// the play side, down blocks away from it, straight, set shows a pass), who pulls, the one
	// who kicks out first, and who carries the ball.
	Line    string
	Pulls   []string // "back guard", "center"; "end": the tight end, or a back, comes across
	Carries string   // back, passer, or slot: a receiver of the other side, in motion
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
		x := Scheme{Concept: r[0], Gap: r[1], Side: side, Pullers: pull, Leads: lead, Bends: r[5], Also: r[6], Line: r[7],
			Carries: r[9]}
		if r[8] != "" {
			x.Pulls = strings.Split(r[8], "; ")
		}
		out = append(out, x)
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
