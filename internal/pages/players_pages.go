package pages

import (
	"context"
	"net/http"
	"strconv"
	"sync"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/door"
	"overhang/internal/reports"
	"overhang/internal/staff"
	"overhang/internal/tags"
)

// packetFresh is how old the packet of a link may be: anyone with a link has the engine
// play a week once in so long.
const packetFresh = time.Minute

// mostPackets bounds how many are kept: some 200 kB each.
const mostPackets = 64

// packets are those of the links that were opened of late.
type packets struct {
	mu sync.Mutex
	by map[uuid.UUID]*packed
}

// A packed packet is made by one request while the others wait.
type packed struct {
	mu   sync.Mutex
	at   time.Time
	page *Packet
}

// of is the place of a link's packet.
func (p *packets) of(link uuid.UUID) *packed {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.by == nil || len(p.by) >= mostPackets && p.by[link] == nil {
		p.by = map[uuid.UUID]*packed{} // who waits holds their own
	}
	if p.by[link] == nil {
		p.by[link] = &packed{}
	}
	return p.by[link]
}

// playersPages serves what a link for players opens, and who makes and ends them.
func (s *Site) playersPages(e *echo.Echo) {
	e.GET(door.PacketPath, s.packetPage)
	e.GET(opponentPath+"/players", s.playersPage)
	e.POST(opponentPath+"/players", s.playersForm)
}

// Packet is what a link shows, a minute old at most; ctx sees the link's program.
func (s *Site) Packet(ctx context.Context, l staff.PacketLink, p tags.Program) (*Packet, error) {
	at := s.packets.of(l.ID)
	at.mu.Lock()
	defer at.mu.Unlock()
	if at.page != nil && time.Since(at.at) < packetFresh {
		return at.page, nil
	}
	o, err := s.store.Opponents().Get(ctx, p.ID, l.Opponent)
	if err != nil {
		return nil, err
	}
	phone, err := reports.Phone(ctx, s.store, thisWeek(p, o), l.Group)
	if err != nil {
		return nil, err
	}
	if at.page, err = NewPacket(l.Group, phone); err == nil {
		at.at = time.Now()
	}
	return at.page, err
}

// thisWeek orders the packet that would be printed now.
func thisWeek(p tags.Program, o tags.Opponent) *ask.Order {
	order := &ask.Order{Scope: ask.Scope{Opponent: o}, Date: time.Now()}
	order.Of(p)
	return order
}

// packetPage shows a position group its packet and quiz, to who has the link.
func (s *Site) packetPage(c echo.Context) error {
	key := c.QueryParam("key")
	l, p, ctx, err := s.door.Players(c, key)
	if err != nil {
		return err
	}
	c.Response().Header().Set("X-Robots-Tag", "noindex")
	sh := &Shell{Title: "Packet: " + l.Group, Program: &p, Alone: true, Scripts: []string{"shelf.js", "packet.js"},
		Styles: []string{"field.css"}}
	return s.showLate(c, sh, "your packet", "packet.html", func() (any, error) {
		page, err := s.Packet(ctx, l, p)
		if err != nil {
			return nil, err
		}
		own := *page
		own.Key, own.Until = key, l.ExpiresAt
		return &own, nil
	})
}

// playersPage shows the links for players and what their quizzes tell.
func (s *Site) playersPage(c echo.Context) error { return s.showPlayers(c, http.StatusOK, &Players{}) }

// playersForm makes or ends a link, and shows the page again.
func (s *Site) playersForm(c echo.Context) error {
	page := &Players{}
	return again(s.doPlayers(c, page), &page.Wrong, func(status int) error { return s.showPlayers(c, status, page) })
}

func (s *Site) doPlayers(c echo.Context, page *Players) error {
	if !door.RoleOf(c).Reaches(staff.Coordinator) {
		return echo.NewHTTPError(http.StatusForbidden, "that is for a program's coordinator")
	}
	switch c.FormValue("do") {
	case "make":
		return s.makePlayers(c, page)
	case "end":
		id, _ := uuid.Parse(c.FormValue("id")) // none: no link has the nil identity
		return s.door.EndPlayers(c, id)
	}
	return tags.Fieldf(tags.Invalid, "do", "is nothing the page can do")
}

func (s *Site) makePlayers(c echo.Context, page *Players) error {
	o, err := s.desk.Opponent(c)
	if err != nil {
		return err
	}
	days, err := strconv.Atoi(c.FormValue("days"))
	if err != nil || days < 1 {
		return tags.Fieldf(tags.Invalid, "days", "need 1 to 7")
	}
	group, order := c.FormValue("group"), thisWeek(door.ProgramOf(c), o)
	if err := reports.HasGroup(c.Request().Context(), s.store, order, group); err != nil {
		return err
	}
	_, at, err := s.door.LinkPlayers(c, o.ID, group, days)
	if err != nil {
		return err
	}
	page.Made = &MadeLink{Group: group, At: atThisServer(c, at)}
	return nil
}

// atThisServer is the whole address of a path, to be sent to somebody.
func atThisServer(c echo.Context, path string) string {
	scheme := c.Scheme()
	if door.Far(c) { // something speaks TLS in front
		scheme = "https"
	}
	return scheme + "://" + c.Request().Host + path
}

func (s *Site) showPlayers(c echo.Context, status int, page *Players) (err error) {
	ctx, p := c.Request().Context(), door.ProgramOf(c)
	if page.Opponent, err = s.desk.Opponent(c); err != nil {
		return err
	}
	sh, err := s.shell(c, "Players: "+page.Opponent.Name, "print", "")
	if err != nil {
		return err
	}
	page.Base, page.May, page.Alone = sh.Base(), door.RoleOf(c).Reaches(staff.Coordinator), s.door.Keys == nil
	if page.Groups, page.Whose, err = reports.Groups(ctx, s.store, thisWeek(p, page.Opponent)); err != nil {
		return err
	}
	if page.Links, err = s.store.PacketLinks(ctx, p.ID, page.Opponent.ID); err != nil {
		return err
	}
	counts, err := s.store.RuleCounts(ctx, p.ID, page.Opponent.ID)
	if err != nil {
		return err
	}
	page.Missed = ask.MissedRules(counts)
	return s.show(c, status, sh, "players.html", page)
}
