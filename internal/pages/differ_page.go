package pages

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strings"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/desk"
	"overhang/internal/door"
	"overhang/internal/reports/filmroom"
	"overhang/internal/staff"
	"overhang/internal/study"
	"overhang/internal/tags"
)

// A Differ page is where a game's taggers differ, snap by snap; its script settles a snap
// through the API.
type Differ struct {
	filmroom.Head
	SignedIn  string
	Agreement study.Agreement
	Clips     []DifferClip
	Agreed    int // clips of those on which nothing is open
}

// A DifferClip is a clip that two at least tagged blind.
type DifferClip struct {
	ID      uuid.UUID
	Number  int   // of its snap, 0 where nobody said
	Version int64 // of its snap's tags, 0 where it has none yet
	// Link is the play that has the snap's number where the clip does not name it: tagged by
	// number, as the tagging page does. The clip must name it before it is settled.
	Link   *uuid.UUID
	Fields []DifferField
}

// A DifferField is a tag to choose.
type DifferField struct {
	Name    string
	Now     string // in the snap's tags
	Choices []DifferChoice
}

// A DifferChoice is what one tagger says.
type DifferChoice struct{ Analyst, Value string }

func (s *Site) differPage(c echo.Context) error {
	if !door.RoleOf(c).Reaches(staff.Coordinator) {
		return echo.NewHTTPError(http.StatusForbidden, "settling where taggers differ is for a program's coordinator")
	}
	h, err := s.head(c)
	if err != nil {
		return err
	}
	page := &Differ{Head: h}
	if w := door.Visitor(c); w != nil {
		page.SignedIn = w.Login
	}
	if err := s.differing(c.Request().Context(), page); err != nil {
		return err
	}
	sh, err := s.filmShell(c, h, "Where we differ", "tags")
	if err != nil {
		return err
	}
	sh.Scripts = []string{"callkit.js", "differ.js"}
	return s.show(c, http.StatusOK, sh, "differ.html", page)
}

// differing reads what the page shows.
func (s *Site) differing(ctx context.Context, page *Differ) error {
	p := page.Program.ID
	doubles, a, err := ask.Differing(ctx, s.store, p, page.Game.ID)
	if err != nil {
		return err
	}
	page.Agreement = a
	ps, err := desk.Every(ctx, s.store.Plays(), p, map[string]string{"game_id": page.Game.ID.String()})
	if err != nil {
		return err
	}
	for i := range doubles {
		clip, err := s.store.Clips().Get(ctx, p, doubles[i].ClipID)
		if err != nil {
			return err
		}
		d, err := newDifferClip(&doubles[i], clip, playOf(clip, ps))
		if err != nil {
			return err
		}
		if len(d.Fields) == 0 {
			page.Agreed++
		}
		page.Clips = append(page.Clips, d)
	}
	slices.SortFunc(page.Clips, func(a, b DifferClip) int {
		return cmp.Or(cmp.Compare(a.Number, b.Number), strings.Compare(a.ID.String(), b.ID.String()))
	})
	return nil
}

// playOf is the play that a clip shows, the one of its number where it names none; nil for none.
func playOf(clip tags.Clip, ps []tags.Play) *tags.Play {
	for i := range ps {
		if clip.PlayID != nil && ps[i].ID == *clip.PlayID ||
			clip.PlayID == nil && clip.Number != nil && ps[i].Number == *clip.Number {
			return &ps[i]
		}
	}
	return nil
}

// newDifferClip puts beside each other what was tagged of a clip; play is nil where it has no tags yet.
func newDifferClip(d *ask.DoubleTagged, clip tags.Clip, play *tags.Play) (out DifferClip, err error) {
	out.ID = clip.ID
	if clip.Number != nil {
		out.Number = *clip.Number
	}
	now := map[string]json.RawMessage{}
	if play != nil {
		out.Number, out.Version = play.Number, play.Version
		if clip.PlayID == nil {
			out.Link = &play.ID
		}
		raw, err := json.Marshal(play)
		if err != nil {
			return out, err
		}
		if err := json.Unmarshal(raw, &now); err != nil {
			return out, err
		}
	}
	for _, f := range d.Open {
		x := DifferField{Name: f.Field, Now: tagged(f.Field, now[f.Field])}
		for _, a := range slices.Sorted(maps.Keys(f.Values)) {
			x.Choices = append(x.Choices, DifferChoice{a, tagged(f.Field, f.Values[a])})
		}
		out.Fields = append(out.Fields, x)
	}
	return out, nil
}

// tagged says a tag's value as the film room does; empty for none.
func tagged(field string, raw json.RawMessage) string {
	var v any
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	if d.Decode(&v) != nil {
		return ""
	}
	switch v := v.(type) {
	case bool:
		if v {
			return "yes"
		}
		return "no"
	case string:
		if slices.Contains(tags.Allowed(field), v) {
			return strings.ReplaceAll(v, "_", " ")
		}
		return v
	case json.Number:
		return numbered(field, v)
	case []any:
		return routesSaid(raw)
	}
	return ""
}

// numbered writes a clock and a yard line as a staff does, anything else as it stands.
func numbered(field string, v json.Number) string {
	n, err := v.Int64()
	switch {
	case err != nil:
	case field == "clock_s":
		return fmt.Sprintf("%d:%02d", n/60, n%60)
	case field == "yards_to_goal":
		return filmroom.Spot(int(n))
	}
	return v.String()
}

// routesSaid writes who ran what, all that was tagged of it.
func routesSaid(raw json.RawMessage) string {
	var rs []tags.Route
	if json.Unmarshal(raw, &rs) != nil {
		return ""
	}
	var out []string
	for i := range rs {
		r := &rs[i]
		s := fmt.Sprintf("%s #%d %s", r.Side, r.Number, r.Route)
		if r.Eligible != "receiver" {
			s += " (" + strings.ReplaceAll(r.Eligible, "_", " ") + ")"
		}
		if r.BreakDepthYd != nil {
			s += fmt.Sprintf(" at %v", *r.BreakDepthYd)
		}
		if r.BreakDirection != nil {
			s += " breaking " + *r.BreakDirection
		}
		if r.Targeted {
			s += ", target"
		}
		out = append(out, s)
	}
	return strings.Join(out, "; ")
}
