package pages

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"overhang/internal/desk"
	"overhang/internal/tags"
)

// Found is what the box of the bar finds; its script shows the same list under the box.
type Found struct {
	Query string
	Hits  []Hit
}

// A Hit is a page with what kind of thing it is of.
type Hit struct{ Name, Link, Kind string }

// mostHits is how many names are listed: one more letter says more than a longer list.
const mostHits = 12

// findPage answers what was typed in the box of the bar.
func (s *Site) findPage(c echo.Context) error {
	sh, err := s.shell(c, "Find", "", "")
	if err != nil {
		return err
	}
	q := strings.TrimSpace(c.QueryParam("q"))
	f := &Found{Query: q}
	if q != "" {
		names, err := s.named(c.Request().Context(), sh)
		if err != nil {
			return err
		}
		f.Hits = append(sh.situations(q), find(q, names)...)
	}
	return s.show(c, http.StatusOK, sh, "find.html", f)
}

// named is everything of the program that has a name and a page.
func (s *Site) named(ctx context.Context, sh *Shell) (out []Hit, err error) {
	for _, x := range sh.Steps() {
		out = append(out, Hit{x.Name, x.Link, "page"})
	}
	for _, x := range sh.Places() {
		out = append(out, Hit{x.Name, x.Link, "page"})
	}
	for _, o := range sh.Opponents {
		out = append(out, Hit{o.Name, sh.Against(o), "opponent"})
	}
	calls, err := desk.Every(ctx, s.store.Calls(), sh.Program.ID, nil)
	if err != nil {
		return nil, err
	}
	for i := range calls {
		out = append(out, Hit{calls[i].Name, sh.Home() + "/calls/" + calls[i].ID.String(), "call"})
	}
	words, err := desk.Every(ctx, s.store.Words(), sh.Program.ID, map[string]string{"field": "concept"})
	if err != nil {
		return nil, err
	}
	for i := range words {
		if sh.Opponent != nil && words[i].AliasOf == nil {
			of := url.Values{"by": {"down,distance_band"}, "concept": {words[i].Word}}
			out = append(out, Hit{words[i].Word, sh.Base() + "/tendencies?" + of.Encode(), "concept"})
		}
	}
	games, err := desk.Every(ctx, s.store.Games(), sh.Program.ID, nil)
	if err != nil {
		return nil, err
	}
	for i := range games {
		out = append(out, Hit{games[i].Label, sh.Home() + "/games/" + games[i].ID.String(), "game"})
	}
	return out, nil
}

// find picks what is called like that, names that begin so first. A number is that snap of
// the games, the newest first.
func find(q string, names []Hit) (out []Hit) {
	low := strings.ToLower(q)
	if n := strings.TrimPrefix(low, "#"); n != "" && strings.Trim(n, "0123456789") == "" {
		for _, x := range slices.Backward(names) {
			if x.Kind == "game" {
				out = append(out, Hit{"Snap " + n + ", " + x.Name, x.Link + "/tag#" + n, "snap"})
			}
		}
		return out[:min(len(out), mostHits)]
	}
	rank := func(x Hit) int {
		name := strings.ToLower(x.Name)
		switch {
		case strings.HasPrefix(name, low):
			return 0
		case strings.Contains(name, " "+low):
			return 1
		case strings.Contains(name, low):
			return 2
		}
		return 3
	}
	for _, x := range names {
		if rank(x) < 3 {
			out = append(out, x)
		}
	}
	slices.SortStableFunc(out, func(a, b Hit) int { return rank(a) - rank(b) })
	return out[:min(len(out), mostHits)]
}

// situations are the pages of the situation that was typed, against the opponent of the week,
// else against each.
func (s *Shell) situations(q string) (out []Hit) {
	against := s.Opponents
	if s.Opponent != nil {
		against = []tags.Opponent{*s.Opponent}
	}
	for _, x := range situations(q, &s.Program.Settings) {
		for _, o := range against {
			said, at, ask := " against "+o.Name+", "+x.said, s.Against(o), "?"+x.where.Encode()
			out = append(out, Hit{"What to call" + said, at + "/board" + ask, "board"},
				Hit{"What they do" + said, at + "/tendencies" + ask, "tendencies"},
				Hit{"Every snap" + said, at + "/snaps" + ask, "snaps"})
		}
	}
	return out
}
