package pages

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"overhang/internal/door"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/starter"
)

// A signForm is what the pages of the door show again after a mistake.
type signForm struct {
	Login, Name, To, Invitation string
	Inv                         *staff.Invitation
	Me                          *postgres.Holder // who opens an invitation signed in
	Program                     tags.Program
	FieldGoal, Punt             string // as typed
	Errors                      []tags.FieldError
	Message                     string
}

// Asked is what the form calls a field.
func (*signForm) Asked(field string) string {
	names := map[string]string{"name": "Name", "code": "Short name", "settings.field_goal_yd": "Longest field goal tried",
		"settings.punt_net_yd": "Punt, net yards", "login": "Login", "password": "Password"}
	if name := names[field]; name != "" {
		return name
	}
	return strings.ReplaceAll(field, "_", " ")
}

// Back is where who signs in first comes back to.
func (f *signForm) Back() string { return "/join?invitation=" + f.Invitation }

func (s *Site) signPage(c echo.Context, status int, name string, f *signForm) error {
	title := map[string]string{"sign-in.html": "Sign in", "join.html": "Join", "joined.html": "Welcome"}[name]
	return s.show(c, status, &Shell{Title: title}, name, f)
}

func (s *Site) signInPage(c echo.Context) error {
	return s.signPage(c, http.StatusOK, "sign-in.html", &signForm{To: c.QueryParam("to")})
}

func (s *Site) signIn(c echo.Context) error {
	f := signForm{Login: strings.TrimSpace(c.FormValue("login")), To: c.FormValue("to")}
	if err := s.door.Slow(c, f.Login); err != nil {
		f.Message = "Too many tries: wait " + c.Response().Header().Get(echo.HeaderRetryAfter) + " seconds."
		return s.signPage(c, http.StatusTooManyRequests, "sign-in.html", &f)
	}
	var secret string
	err := error(tags.Errorf(tags.NotFound, "no login is that long"))
	if len(f.Login) <= staff.LongestLogin {
		secret, err = s.door.Keys.SignIn(c.Request().Context(), f.Login, c.FormValue("password"))
	}
	if e := tags.As(err); e != nil && e.Kind == tags.NotFound {
		f.Message = "Login or password is wrong."
		return s.signPage(c, http.StatusUnprocessableEntity, "sign-in.html", &f)
	}
	if err != nil {
		return err
	}
	s.door.Fits(c, f.Login)
	return door.Enter(c, secret, f.To)
}

func (s *Site) signOut(c echo.Context) error {
	if k, err := c.Cookie(door.Cookie(c)); err == nil {
		if err := s.door.Keys.SignOut(c.Request().Context(), k.Value); err != nil {
			return err
		}
	}
	c.SetCookie(&http.Cookie{Name: door.Cookie(c), Path: "/", HttpOnly: true, Secure: door.Far(c), MaxAge: -1})
	return c.Redirect(http.StatusSeeOther, "/sign-in")
}

func (s *Site) joinPage(c echo.Context) error {
	f, err := s.joinForm(c, c.QueryParam("invitation"))
	if err != nil {
		return err
	}
	return s.signPage(c, http.StatusOK, "join.html", f)
}

func (s *Site) joinForm(c echo.Context, secret string) (*signForm, error) {
	inv, err := s.door.Keys.Invitation(c.Request().Context(), secret)
	if err != nil {
		return nil, err
	}
	f := &signForm{Invitation: secret, Inv: &inv, Program: tags.Program{Level: "high_school"}}
	if inv.Login != nil {
		f.Login = *inv.Login
	}
	if k, err := c.Cookie(door.Cookie(c)); err == nil && !inv.Resets {
		me, err := s.door.Keys.SessionHolder(c.Request().Context(), k.Value, "")
		if err == nil && (inv.Login == nil || *inv.Login == me.Login) {
			f.Me, f.Login = &me, me.Login
		}
	}
	return f, nil
}

// join lets an invited person in; a mistake shows the form again, with what they
// wrote but the password.
func (s *Site) join(c echo.Context) error {
	f, err := s.joinForm(c, c.FormValue("invitation"))
	if err != nil {
		return err
	}
	if f.Inv.Login == nil {
		f.Login = c.FormValue("login")
	}
	f.Name = c.FormValue("name")
	f.FieldGoal, f.Punt = strings.TrimSpace(c.FormValue("field_goal_yd")), strings.TrimSpace(c.FormValue("punt_net_yd"))
	f.Program = tags.Program{Code: c.FormValue("program_code"), Name: c.FormValue("program_name"),
		Level: c.FormValue("level"), Settings: f.drivesEnd(c.FormValue("go_for_it") != "")}
	if len(f.Errors) > 0 {
		f.Message = "the program is not valid"
		return s.signPage(c, http.StatusUnprocessableEntity, "join.html", f)
	}
	ctx := c.Request().Context()
	made := &postgres.Founding{Program: f.Program, Fill: starter.Fill}
	if f.Me != nil { // who has signed in shows no password again
		if err := s.door.Keys.AcceptAs(ctx, f.Invitation, f.Me.ID, made); err != nil {
			return err
		}
		return c.Redirect(http.StatusSeeOther, "/")
	}
	if err := s.door.Slow(c, f.Login); err != nil {
		return err
	}
	secret, err := s.door.Keys.Accept(ctx, f.Invitation, f.Login, f.Name, c.FormValue("password"), made)
	if e := tags.As(err); e != nil && e.Kind != tags.Unavailable {
		f.Message, f.Errors = e.Msg, e.Fields
		return s.signPage(c, http.StatusUnprocessableEntity, "join.html", f)
	}
	if err != nil {
		return err
	}
	s.door.Fits(c, f.Login)
	return s.joined(c, f, secret)
}

// drivesEnd are the settings of a new program with what its form says of kicks and fourth
// downs; a number of yards that is none is an error of its field.
func (f *signForm) drivesEnd(goForIt bool) tags.Settings {
	out := tags.DefaultSettings()
	out.GoForIt = goForIt
	for _, y := range []struct {
		field, text string
		to          *int
	}{{"settings.field_goal_yd", f.FieldGoal, &out.FieldGoalYd}, {"settings.punt_net_yd", f.Punt, &out.PuntNetYd}} {
		if y.text == "" {
			continue
		}
		n, err := strconv.Atoi(y.text)
		if err != nil || n <= 0 {
			f.Errors = append(f.Errors, tags.FieldError{Field: y.field,
				Msg: fmt.Sprintf("%q is not a number of yards; leave it blank if you don't know", y.text)})
			continue
		}
		*y.to = n
	}
	return out
}

// joined lets the new one in, and tells their login to who did not know all of it.
func (s *Site) joined(c echo.Context, f *signForm, secret string) error {
	me, err := s.door.Keys.SessionHolder(c.Request().Context(), secret, "")
	if err != nil {
		return err
	}
	if me.Login == staff.Known(f.Login) {
		return door.Enter(c, secret, "/")
	}
	door.GiveSession(c, secret)
	f.Login = me.Login
	return s.signPage(c, http.StatusOK, "joined.html", f)
}
