package ask

import (
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"overhang/internal/tags"
)

// Unknown is how a query asks for what was not tagged.
const Unknown = "(unknown)"

// mostGames is how many of an opponent's last games can be asked for, as the document has it.
const mostGames = 60

// Filters reads the dimensions of a query; several values stand comma separated,
// Unknown asks for what was not tagged, last_games=3 is games_ago=1,2,3. Whatever else
// the query holds is left alone.
func Filters(query map[string][]string) map[string][]string {
	out := map[string][]string{}
	for name, vs := range query {
		if !slices.Contains(tags.Dimensions, name) {
			continue
		}
		for _, v := range strings.Split(strings.Join(vs, ","), ",") {
			if v == Unknown {
				v = ""
			}
			out[name] = append(out[name], v)
		}
	}
	if n, err := strconv.Atoi(one(query, "last_games")); err == nil && n >= 1 && n <= mostGames {
		out["games_ago"] = GamesAgo(1, n)
	}
	return out
}

func one(query map[string][]string, name string) string {
	if vs := query[name]; len(vs) > 0 {
		return vs[0]
	}
	return ""
}

// Options are what an order can ask for beside the plays, by the name a query has for
// it: each sets its field of an order, or says what is wrong with the value.
var Options = map[string]func(o *Order, value string) string{
	"plan":     func(o *Order, v string) string { o.Plan = v; return "" },
	"call":     func(o *Order, v string) string { o.Call = v; return "" },
	"defender": func(o *Order, v string) string { o.Defender = v; return "" },
	"for_game": func(o *Order, v string) string { o.ForGame = v; return "" },
	"cards":    func(o *Order, v string) string { return whole(&o.Cards, v, 1, 60) },
	"per_page": func(o *Order, v string) string {
		if !slices.Contains([]string{"1", "2", "4", "6"}, v) {
			return strconv.Quote(v) + " is none of 1, 2, 4, 6"
		}
		return whole(&o.PerPage, v, 1, 6)
	},
	"minutes": func(o *Order, v string) (wrong string) {
		m, err := strconv.ParseFloat(v, 64)
		if err != nil || !(m >= 10 && m <= 180) { // NaN is neither
			return strconv.Quote(v) + " is no number from 10 to 180"
		}
		o.Minutes = m
		return ""
	},
	"date": func(o *Order, v string) string {
		day, err := time.Parse(time.DateOnly, v)
		if err != nil {
			return strconv.Quote(v) + " is no day such as 2026-09-04"
		}
		o.Date, o.dated = day, true
		return ""
	},
	"earlier": func(o *Order, v string) string { return yesNo(&o.Earlier, v) },
	"percent": func(o *Order, v string) string { return yesNo(&o.Percent, v) },
	"paper": func(o *Order, v string) string {
		if v != "letter" && v != "a4" {
			return strconv.Quote(v) + " is neither letter nor a4"
		}
		o.A4 = v == "a4"
		return ""
	},
}

// yesNo reads true or false.
func yesNo(at *bool, v string) (wrong string) {
	yes, err := strconv.ParseBool(v)
	if err != nil {
		return strconv.Quote(v) + " is neither true nor false"
	}
	*at = yes
	return ""
}

// Of says whose the order is; today is what the program's own clock says.
func (o *Order) Of(p tags.Program) {
	o.Program = p
	if !o.dated {
		o.Date = o.Date.In(p.Settings.Zone())
	}
}

// whole reads a whole number from least to most.
func whole(at *int, v string, least, most int) (wrong string) {
	n, err := strconv.Atoi(v)
	if err != nil || n < least || n > most {
		return strconv.Quote(v) + " is no whole number from " + strconv.Itoa(least) + " to " + strconv.Itoa(most)
	}
	*at = n
	return ""
}

// NewOrder reads an order from a query that may name dimensions, last_games and the
// options taken; all else is Invalid, every bad parameter named.
func NewOrder(query map[string][]string, taken []string) (*Order, error) {
	o := &Order{Scope: Scope{Filters: Filters(query)}, Date: time.Now(), PerPage: 2}
	bad := &tags.Error{Kind: tags.Invalid, Msg: "the query is not valid"}
	for _, name := range slices.Sorted(maps.Keys(query)) {
		value, wrong := one(query, name), ""
		switch {
		case slices.Contains(tags.Dimensions, name):
		case name == "last_games":
			var n int
			wrong = whole(&n, value, 1, AllGames)
		case !slices.Contains(taken, name):
			wrong = "unknown parameter"
		case value != "":
			wrong = Options[name](o, value)
		}
		if wrong != "" {
			bad.Fields = append(bad.Fields, tags.FieldError{Field: name, Msg: wrong})
		}
	}
	if len(bad.Fields) > 0 {
		return nil, bad
	}
	return o, nil
}
