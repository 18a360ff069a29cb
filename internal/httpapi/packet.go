package httpapi

import (
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/desk"
	"overhang/internal/door"
	"overhang/internal/reports"
	"overhang/internal/staff"
	"overhang/internal/tags"
)

// players serves links for players, and the answers of their quizzes.
func (s *server) players(e *echo.Echo, g *echo.Group) {
	e.POST(door.AnswersPath, s.answerQuiz)
	g.GET("/opponents/:opponent/packet-links", s.packetLinks)
	g.POST("/opponents/:opponent/packet-links", s.linkPacket)
	g.DELETE("/packet-links/:id", s.unlinkPacket)
	g.GET("/opponents/:opponent/missed-rules", s.missedRules)
}

// answerQuiz keeps a first answer. Whether it fits is judged here, whatever the phone says.
func (s *server) answerQuiz(c echo.Context) error {
	var in struct {
		Key      string `json:"key"`
		Question string `json:"question"`
		Jersey   string `json:"jersey"`
		Receiver int    `json:"receiver"`
	}
	if err := c.Bind(&in); err != nil {
		return err
	}
	l, p, ctx, err := s.door.Players(c, in.Key)
	if err != nil {
		return err
	}
	packet, err := s.pages.Packet(ctx, l, p)
	if err != nil {
		return err
	}
	q := packet.Question(in.Question)
	switch {
	case q == nil:
		return tags.Fieldf(tags.Invalid, "question", "is none of this week's: the calls or the film have changed")
	case in.Receiver >= len(q.Ways):
		return tags.Fieldf(tags.Invalid, "receiver", "there are %d", len(q.Ways))
	}
	err = s.store.Answer(ctx, l, tags.QuizAnswer{Question: q.ID, Jersey: in.Jersey, Call: q.Call, Man: q.Man,
		When: q.Rule.When, Do: q.Rule.Do, Fits: q.Fits(in.Receiver)})
	if err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}

func (s *server) packetLinks(c echo.Context) error {
	o, err := s.desk.Opponent(c)
	if err != nil {
		return err
	}
	ls, err := s.store.PacketLinks(c.Request().Context(), door.ProgramOf(c).ID, o.ID)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, items(ls))
}

func (s *server) missedRules(c echo.Context) error {
	o, err := s.desk.Opponent(c)
	if err != nil {
		return err
	}
	counts, err := s.store.RuleCounts(c.Request().Context(), door.ProgramOf(c).ID, o.ID)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, items(ask.MissedRules(counts)))
}

// A madePacketLink is a link with what opens it.
type madePacketLink struct {
	staff.PacketLink
	Link string `json:"link"`
}

// linkPacket answers with a link for a position group: the only time that it is seen.
func (s *server) linkPacket(c echo.Context) error {
	var in struct {
		Group string `json:"group"`
		Days  int    `json:"days"`
	}
	if err := c.Bind(&in); err != nil {
		return err
	}
	o, err := s.desk.Opponent(c)
	if err != nil {
		return err
	}
	order := &ask.Order{Scope: ask.Scope{Opponent: o}, Date: time.Now()}
	order.Of(door.ProgramOf(c))
	if err := reports.HasGroup(c.Request().Context(), s.store, order, in.Group); err != nil {
		return err
	}
	l, at, err := s.door.LinkPlayers(c, o.ID, in.Group, in.Days)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusCreated, madePacketLink{l, at})
}

// unlinkPacket ends a link, one's own; an owner's hand ends any.
func (s *server) unlinkPacket(c echo.Context) error {
	id, err := desk.Identity(c, "links")
	if err != nil {
		return err
	}
	if err := s.door.EndPlayers(c, id); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}
