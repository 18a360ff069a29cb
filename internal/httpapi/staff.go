package httpapi

import (
	"net/http"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/pages"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/starter"
)

// staffRoutes serves who is who.
func (s *server) staffRoutes(e *echo.Echo, g *echo.Group) {
	e.GET("/v1/me", s.me)
	g.GET("/staff", s.members)
	g.POST("/staff", s.invite)
	g.PUT("/staff/:person", s.setRole)
	g.DELETE("/staff/:person", s.removeMember)
	g.GET("/tokens", s.tokens)
	g.POST("/tokens", s.makeToken)
	g.DELETE("/tokens/:id", s.revoke)
	e.GET(staffPath, s.staffPage)
	e.POST(staffPath, s.staffForm)
	if s.door != nil {
		e.GET("/sign-in", s.signInPage)
		e.POST("/sign-in", s.signIn)
		e.POST("/sign-out", s.signOut)
		e.GET("/join", s.joinPage)
		e.POST("/join", s.join)
	}
}

// A caller is who the server takes a caller for.
type caller struct {
	Login     string     `json:"login,omitempty"`
	Name      string     `json:"name,omitempty"`
	PersonID  *uuid.UUID `json:"person_id,omitempty"`
	SignedIn  bool       `json:"signed_in"`
	TokenRole staff.Role `json:"token_role,omitempty"` // of the token he came with
}

// me says who the server takes the caller for.
func (s *server) me(c echo.Context) error {
	w := who(c)
	if w == nil {
		return c.JSON(http.StatusOK, caller{})
	}
	out := caller{Login: w.Login, Name: w.Name, PersonID: &w.ID, SignedIn: true}
	if w.Program.Valid {
		out.TokenRole = w.Role
	}
	return c.JSON(http.StatusOK, out)
}

func (s *server) members(c echo.Context) error {
	ms, err := s.store.Members(c.Request().Context(), programOf(c).ID)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, items(ms))
}

// An opening is a link that lets one person in.
type opening struct {
	ExpiresAt time.Time `json:"expires_at"`
	Link      string    `json:"link"`
}

// invite answers with a link that lets one person in, once.
func (s *server) invite(c echo.Context) error {
	var in struct {
		Login *string    `json:"login"`
		Role  staff.Role `json:"role"`
	}
	if err := c.Bind(&in); err != nil {
		return err
	}
	link, err := s.invitation(c, in.Login, in.Role)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusCreated, opening{time.Now().Add(staff.InvitationLife).UTC(), link})
}

// invitation makes the path that lets one person into the program.
func (s *server) invitation(c echo.Context, login *string, role staff.Role) (string, error) {
	if s.door == nil {
		return "", errNoLogin
	}
	if err := inPerson(c); err != nil {
		return "", err
	}
	id := uuid.NullUUID{UUID: programOf(c).ID, Valid: true}
	secret, err := s.door.store.Invite(c.Request().Context(), staff.Invitation{Program: id, Login: login, Role: role})
	return "/join?invitation=" + secret, err
}

func (s *server) setRole(c echo.Context) error {
	var in struct {
		Role staff.Role `json:"role"`
	}
	if err := c.Bind(&in); err != nil {
		return err
	}
	return s.change(c, in.Role)
}

func (s *server) removeMember(c echo.Context) error { return s.change(c, "") }

func (s *server) change(c echo.Context, role staff.Role) error {
	id, err := uuid.Parse(c.Param("person"))
	if err != nil {
		return tags.Errorf(tags.NotFound, "there is no such member")
	}
	if err := s.rank(c, id, role); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}

// inPerson refuses a token: who can come back by a link, or who is who, is for somebody
// who has signed in. A token that leaks would outlive itself otherwise.
func inPerson(c echo.Context) error {
	if w := who(c); w != nil && w.Program.Valid {
		return echo.NewHTTPError(http.StatusForbidden, "not by a token: sign in")
	}
	return nil
}

// rank changes a member's role, or takes him out when role is "". Invitations are not the
// program's to see: behind a door that is done by the door's store.
func (s *server) rank(c echo.Context, person uuid.UUID, role staff.Role) error {
	if err := inPerson(c); err != nil {
		return err
	}
	store := s.store
	if s.door != nil {
		store = s.door.store
	}
	return store.SetRole(c.Request().Context(), programOf(c).ID, person, role)
}

// own limits what is asked for to the visitor's own, unless he is an owner.
func own(c echo.Context) uuid.NullUUID {
	if w := who(c); w != nil && !roleOf(c).Reaches(staff.Owner) {
		return uuid.NullUUID{UUID: w.ID, Valid: true}
	}
	return uuid.NullUUID{}
}

func (s *server) tokens(c echo.Context) error {
	ts, err := s.store.Tokens(c.Request().Context(), programOf(c).ID, own(c))
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, items(ts))
}

// A madeToken is a token with its secret.
type madeToken struct {
	ExpiresAt time.Time  `json:"expires_at"`
	ID        uuid.UUID  `json:"id"`
	Label     string     `json:"label"`
	Role      staff.Role `json:"role"`
	Token     string     `json:"token"`
}

// makeToken answers with the secret: the only time it is seen.
func (s *server) makeToken(c echo.Context) error {
	var in struct {
		Label string     `json:"label"`
		Role  staff.Role `json:"role"`
		Days  int        `json:"days"`
	}
	if err := c.Bind(&in); err != nil {
		return err
	}
	t, secret, err := s.newToken(c, in.Label, in.Role, in.Days)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusCreated, madeToken{t.ExpiresAt, t.ID, t.Label, t.Role, secret})
}

func (s *server) newToken(c echo.Context, label string, role staff.Role,
	days int) (t staff.Token, secret string, err error) {
	id, err := person(c)
	switch {
	case err != nil:
		return t, "", err
	case who(c).Program.Valid:
		return t, "", echo.NewHTTPError(http.StatusForbidden, "a token makes no tokens: sign in")
	case !roleOf(c).Reaches(role):
		return t, "", tags.Fieldf(tags.Invalid, "role", "is more than your own")
	case days < 1 || days > staff.MostTokenDays:
		return t, "", tags.Fieldf(tags.Invalid, "days", "need 1 to %d", staff.MostTokenDays)
	}
	return s.store.MakeToken(c.Request().Context(), programOf(c).ID, staff.Token{Person: id, Label: label, Role: role,
		ExpiresAt: time.Now().AddDate(0, 0, days).UTC()})
}

func (s *server) revoke(c echo.Context) error {
	id, err := identity(c, "tokens")
	if err != nil {
		return err
	}
	if err := s.store.Revoke(c.Request().Context(), programOf(c).ID, id, own(c)); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}

// A signForm is what the pages of the door show again after a mistake.
type signForm struct {
	Login, Name, To, Invitation string
	Inv                         *staff.Invitation
	Me                          *postgres.Holder // who opens an invitation signed in
	Program                     tags.Program
	Errors                      []tags.FieldError
	Message                     string
}

// Back is where who signs in first comes back to.
func (f *signForm) Back() string { return "/join?invitation=" + f.Invitation }

func (s *server) signPage(c echo.Context, status int, name string, f *signForm) error {
	title := map[string]string{"sign-in.html": "Sign in", "join.html": "Join"}[name]
	return s.show(c, status, &pages.Shell{Title: title}, name, f)
}

func (s *server) signInPage(c echo.Context) error {
	return s.signPage(c, http.StatusOK, "sign-in.html", &signForm{To: c.QueryParam("to")})
}

func (s *server) signIn(c echo.Context) error {
	f := signForm{Login: strings.TrimSpace(c.FormValue("login")), To: c.FormValue("to")}
	if err := s.door.slow(c, f.Login); err != nil {
		f.Message = "Too many tries: wait " + c.Response().Header().Get(echo.HeaderRetryAfter) + " seconds."
		return s.signPage(c, http.StatusTooManyRequests, "sign-in.html", &f)
	}
	var secret string
	err := error(tags.Errorf(tags.NotFound, "nobody has so long a login"))
	if len(f.Login) <= longestName {
		secret, err = s.door.store.SignIn(c.Request().Context(), f.Login, c.FormValue("password"))
	}
	if e := tags.As(err); e != nil && e.Kind == tags.NotFound {
		f.Message = "Login or password is wrong."
		return s.signPage(c, http.StatusUnprocessableEntity, "sign-in.html", &f)
	}
	if err != nil {
		return err
	}
	s.door.brake.fits(f.Login, c.RealIP())
	return enter(c, secret, f.To)
}

func (s *server) signOut(c echo.Context) error {
	if k, err := c.Cookie(cookie(c)); err == nil {
		if err := s.door.store.SignOut(c.Request().Context(), k.Value); err != nil {
			return err
		}
	}
	c.SetCookie(&http.Cookie{Name: cookie(c), Path: "/", HttpOnly: true, Secure: far(c), MaxAge: -1})
	return c.Redirect(http.StatusSeeOther, "/sign-in")
}

func (s *server) joinPage(c echo.Context) error {
	f, err := s.joinForm(c, c.QueryParam("invitation"))
	if err != nil {
		return err
	}
	return s.signPage(c, http.StatusOK, "join.html", f)
}

func (s *server) joinForm(c echo.Context, secret string) (*signForm, error) {
	inv, err := s.door.store.Invitation(c.Request().Context(), secret)
	if err != nil {
		return nil, err
	}
	f := &signForm{Invitation: secret, Inv: &inv, Program: tags.Program{Level: "high_school"}}
	if inv.Login != nil {
		f.Login = *inv.Login
	}
	if k, err := c.Cookie(cookie(c)); err == nil && !inv.Resets {
		me, err := s.door.store.SessionHolder(c.Request().Context(), k.Value)
		if err == nil && (inv.Login == nil || *inv.Login == me.Login) {
			f.Me, f.Login = &me, me.Login
		}
	}
	return f, nil
}

// join lets an invited person in; a mistake shows the form again, with what he
// wrote but the password.
func (s *server) join(c echo.Context) error {
	f, err := s.joinForm(c, c.FormValue("invitation"))
	if err != nil {
		return err
	}
	if f.Inv.Login == nil {
		f.Login = c.FormValue("login")
	}
	f.Name = c.FormValue("name")
	f.Program = tags.Program{Code: c.FormValue("program_code"), Name: c.FormValue("program_name"),
		Level: c.FormValue("level")}
	ctx := c.Request().Context()
	if f.Me != nil { // who has signed in shows no password again
		if err := s.door.store.AcceptAs(ctx, f.Invitation, f.Me.ID, &f.Program); err != nil {
			return err
		}
		return c.Redirect(http.StatusSeeOther, "/")
	}
	if err := s.door.slow(c, f.Login); err != nil {
		return err
	}
	if len(f.Login) > longestName {
		return tags.Fieldf(tags.Invalid, "login", "is longer than %d bytes", longestName)
	}
	secret, err := s.door.store.Accept(ctx, f.Invitation, f.Login, f.Name, c.FormValue("password"), &f.Program)
	if e := tags.As(err); e != nil && e.Kind != tags.Unavailable {
		f.Message, f.Errors = e.Msg, e.Fields
		return s.signPage(c, http.StatusUnprocessableEntity, "join.html", f)
	}
	if err != nil {
		return err
	}
	if !f.Inv.Program.Valid { // a first owner's program: it begins with the words and the book
		p, err := s.door.store.Program(c.Request().Context(), f.Program.Code)
		if err != nil {
			return err
		}
		if err := starter.Fill(c.Request().Context(), s.door.store, p.ID); err != nil {
			return err
		}
	}
	s.door.brake.fits(f.Login, c.RealIP())
	return enter(c, secret, "/")
}
