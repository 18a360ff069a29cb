package pages

import (
	"net/url"
	"regexp"
	"strconv"
	"strings"

	"overhang/internal/tags"
)

// A situation is a down, a distance and a part of the field, as far as they were said.
type situation struct {
	said  string // 3rd and 4-6, red zone
	where url.Values
}

// A part of a situation is one dimension of it, with how people say the value.
type part struct{ dimension, value, said string }

// How a staff types a situation: "3rd and 6 red zone", "2 & long", "1-10 +35", "third down", "gl".
// Common practice, no source.
var (
	downTyped     = regexp.MustCompile(`^d?([1-4])(?:st|nd|rd|th)?( .*|[-/].*|)$`)
	distanceTyped = regexp.MustCompile(`^(?: (?:down )?(?:and )?|[-/])(\d\d?(?:-\d\d?|\+)?|goal|g|short|` +
		`med|medium|long|inches)(?: (?:yards?|yds?))?(?: to go)?( .*|)$`)
	placeTyped = regexp.MustCompile(`^(?: (?:down|in|on|at|from|near|the))* ?(.*?)(?: (?:zone|yard line|line))?$`)
	spotTyped  = regexp.MustCompile(`^(own|-|opponent|opp|their|\+) ?(\d\d?)$`)
	ordinals   = strings.NewReplacer("first", "1st", "second", "2nd", "third", "3rd", "fourth", "4th",
		"&", " and ", ",", " ", "–", "-")
)

// yardsMeant are the yards to go of a word, spotMeant the yards to the goal line where a part
// of the field begins: the red zone at the 20, backed up at the own 5.
var (
	yardsMeant = map[string][2]int{"inches": {1, 1}, "short": {1, 3}, "med": {4, 6}, "medium": {4, 6}, "long": {7, 99}}
	spotMeant  = map[string]int{"red": 20, "redzone": 20, "rz": 20, "goal": 1, "goalline": 1, "gl": 1, "midfield": 50,
		"50": 50, "backed up": 95}
)

// situations reads what was typed: none where it is no situation, more than one where a word
// takes in several of the program's own bands.
func situations(typed string, set *tags.Settings) (out []situation) {
	rest := strings.Join(strings.Fields(ordinals.Replace(strings.ToLower(typed))), " ")
	downs, yards, zones := []part{{}}, []part{{}}, []part{{}}
	if m := downTyped.FindStringSubmatch(rest); m != nil {
		downs[0], rest = part{"down", m[1], Ordinal(m[1])}, m[2]
		if m := distanceTyped.FindStringSubmatch(rest); m != nil {
			rest = m[2]
			if !strings.HasPrefix(m[1], "g") {
				yards = distances(m[1], set.DistanceBands)
			} else if rest == "" { // "goal to go" is at the goal line where nothing else is said
				rest = " goal"
			}
		}
	}
	if place := placeTyped.FindStringSubmatch(rest)[1]; place != "" {
		zones = fieldZones(place, set.FieldZones)
	} else if downs[0].value == "" {
		return nil
	}
	for _, y := range yards {
		for _, z := range zones {
			out = append(out, join(downs[0], y, z))
		}
	}
	return out
}

// join is the situation of its parts; one that was not said is empty.
func join(down, yards, zone part) situation {
	x := situation{where: url.Values{}}
	for _, p := range []part{down, yards, zone} {
		if p.value != "" {
			x.where.Set(p.dimension, p.value)
		}
	}
	x.said = down.said
	if yards.said != "" {
		x.said += " and " + yards.said
	}
	if down.said != "" && zone.said != "" {
		x.said += ", "
	}
	x.said += zone.said
	if yards.value == "" && zone.value == "" {
		x.said += " down"
	}
	return x
}

// distances are the bands that are named so, hold so many yards, or that a word takes in;
// yards that are in no band are asked for as they are.
func distances(typed string, bands []tags.Band) (out []part) {
	for _, b := range bands {
		if strings.EqualFold(b.Name, typed) {
			return []part{{"distance_band", b.Name, b.Name}}
		}
	}
	meant, isWord := yardsMeant[typed]
	if n, err := strconv.Atoi(typed); err == nil {
		meant = [2]int{n, n}
	} else if !isWord {
		return nil
	}
	for _, b := range bands {
		if b.From <= meant[1] && b.To >= meant[0] {
			out = append(out, part{"distance_band", b.Name, b.Name})
		}
	}
	if len(out) == 0 && !isWord {
		out = []part{{"distance", typed, typed}}
	}
	return out
}

// fieldZones are the zones that hold the spot, else those whose name begins so.
func fieldZones(typed string, zones []tags.Band) (out []part) {
	at, known := spotMeant[typed]
	if m := spotTyped.FindStringSubmatch(typed); m != nil {
		at, _ = strconv.Atoi(m[2])
		if known = at > 0 && at <= 50; m[1] == "own" || m[1] == "-" {
			at = 100 - at
		}
	}
	for _, z := range zones {
		said := Value("field_zone", &z.Name)
		named := len(typed) > 1 && (strings.HasPrefix(strings.ToLower(z.Name), typed) || strings.HasPrefix(said, typed))
		if named && !known || known && z.From <= at && at <= z.To {
			out = append(out, part{"field_zone", z.Name, said})
		}
	}
	return out
}
