package pages

import (
	"strings"
	"testing"

	"overhang/internal/tags"
)

// TestSituationsTyped: how a staff types a down, a distance and a part of the field (common
// practice, no source), in the bands every new program begins with.
func TestSituationsTyped(t *testing.T) {
	t.Parallel()
	set := tags.DefaultSettings()
	for typed, want := range map[string]string{
		"3rd and 6 red zone":        "3rd and 4-6, red zone: distance_band=4-6&down=3&field_zone=RED",
		"3rd & 6 rz":                "3rd and 4-6, red zone: distance_band=4-6&down=3&field_zone=RED",
		"Third and 6, in the Red":   "3rd and 4-6, red zone: distance_band=4-6&down=3&field_zone=RED",
		"3 and 6 redzone":           "3rd and 4-6, red zone: distance_band=4-6&down=3&field_zone=RED",
		"d3 6":                      "3rd and 4-6: distance_band=4-6&down=3",
		"3-6":                       "3rd and 4-6: distance_band=4-6&down=3",
		"3/6":                       "3rd and 4-6: distance_band=4-6&down=3",
		"3&6":                       "3rd and 4-6: distance_band=4-6&down=3",
		"2nd and 7-10":              "2nd and 7-10: distance_band=7-10&down=2",
		"2nd and 11+ own 30":        "2nd and 11+, own 21-50: distance_band=11%2B&down=2&field_zone=OWN21-50",
		"1st and 10 at the opp 35":  "1st and 7-10, opp 49-21: distance_band=7-10&down=1&field_zone=OPP49-21",
		"1-10 +12":                  "1st and 7-10, red zone: distance_band=7-10&down=1&field_zone=RED",
		"1st and 10 -3":             "1st and 7-10, own 1-20: distance_band=7-10&down=1&field_zone=OWN1-20",
		"1st and 10 backed up":      "1st and 7-10, own 1-20: distance_band=7-10&down=1&field_zone=OWN1-20",
		"3rd and short":             "3rd and 1-3: distance_band=1-3&down=3",
		"3rd down and medium":       "3rd and 4-6: distance_band=4-6&down=3",
		"3rd and long":              "3rd and 7-10: distance_band=7-10&down=3; 3rd and 11+: distance_band=11%2B&down=3",
		"3rd and 6 yards to go":     "3rd and 4-6: distance_band=4-6&down=3",
		"4th and inches":            "4th and 1-3: distance_band=1-3&down=4",
		"3rd and goal":              "3rd, goal line: down=3&field_zone=GOAL",
		"1st and g":                 "1st, goal line: down=1&field_zone=GOAL",
		"2nd and goal to go +8":     "2nd, red zone: down=2&field_zone=RED",
		"3rd down":                  "3rd down: down=3",
		"fourth":                    "4th down: down=4",
		"3rd red":                   "3rd, red zone: down=3&field_zone=RED",
		"3rd down in the red zone":  "3rd, red zone: down=3&field_zone=RED",
		"red zone":                  "red zone: field_zone=RED",
		"goal line":                 "goal line: field_zone=GOAL",
		"midfield":                  "own 21-50: field_zone=OWN21-50",
		"own 1-20":                  "own 1-20: field_zone=OWN1-20",
		"":                          "",
		"3rd and 6 purple":          "",
		"3rd and 6 own 70":          "",
		"smash":                     "",
		"36 power":                  "",
		"5th and 3":                 "",
		"cover 3":                   "",
		"3rd and 6 red zone please": "",
	} {
		var got []string
		for _, x := range situations(typed, &set) {
			got = append(got, x.said+": "+x.where.Encode())
		}
		if s := strings.Join(got, "; "); s != want {
			t.Errorf("%q is read as %q, want %q", typed, s, want)
		}
	}
}

// TestSituationsOfOwnBands: a program's own cuts are asked for by their names, and yards that
// are in none as they are.
func TestSituationsOfOwnBands(t *testing.T) {
	t.Parallel()
	set := tags.Settings{DistanceBands: []tags.Band{{Name: "Short", From: 1, To: 2}, {Name: "rest", From: 3, To: 8}},
		FieldZones: []tags.Band{{Name: "High red", From: 11, To: 25}, {Name: "low red", From: 1, To: 10}}}
	for typed, want := range map[string]string{
		"3rd and short high red": "distance_band=Short&down=3&field_zone=High+red",
		"3rd and 12":             "distance=12&down=3",
		"2nd and 4 red zone":     "distance_band=rest&down=2&field_zone=High+red",
	} {
		got := situations(typed, &set)
		if len(got) != 1 || got[0].where.Encode() != want {
			t.Errorf("%q is read as %v, want %s", typed, got, want)
		}
	}
}

// TestFindSituation: the box's own example finds the situation's pages, against the opponent of
// the week or else against each.
func TestFindSituation(t *testing.T) {
	t.Parallel()
	alder, tern := tags.Opponent{Code: "alder", Name: "Alder"}, tags.Opponent{Code: "tern", Name: "Tern"}
	sh := Shell{Program: &tags.Program{Code: "us", Settings: tags.DefaultSettings()},
		Opponents: []tags.Opponent{alder, tern}}
	if got := sh.situations("3rd and 6 red zone"); len(got) != 6 || !strings.Contains(got[3].Link, "/tern/board?") {
		t.Errorf("without an opponent: %v", got)
	}
	sh.Opponent = &alder
	got := sh.situations("3rd and 6 red zone")
	for i, at := range []string{"board", "tendencies", "snaps"} {
		want := "/programs/us/opponents/alder/" + at + "?distance_band=4-6&down=3&field_zone=RED"
		if i >= len(got) || got[i].Link != want || !strings.HasSuffix(got[i].Name, " against Alder, 3rd and 4-6, red zone") {
			t.Errorf("hit %d of %v is not %s", i, got, want)
		}
	}
}

// TestFindNames: names that begin so come first; a number is that snap, of the newest game first.
func TestFindNames(t *testing.T) {
	t.Parallel()
	names := []Hit{{"Old game", "/g/1", "game"}, {"Seal cover 3", "/c/1", "call"}, {"Cover 3", "/c/2", "call"},
		{"recover", "/c/3", "call"}, {"New game", "/g/2", "game"}}
	for q, want := range map[string]string{"cover": "Cover 3, Seal cover 3, recover", "zebra": "",
		"12": "Snap 12, New game, Snap 12, Old game", "#12": "Snap 12, New game, Snap 12, Old game"} {
		var got []string
		for _, x := range find(q, names) {
			got = append(got, x.Name)
		}
		if s := strings.Join(got, ", "); s != want {
			t.Errorf("%q finds %q, want %q", q, s, want)
		}
	}
	if got := find("12", names); got[0].Link != "/g/2/tag#12" {
		t.Errorf("snap 12 is at %s", got[0].Link)
	}
}
