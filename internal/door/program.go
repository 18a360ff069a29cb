package door

import (
	"context"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// Program finds the program of a path that names one, and hands it on to those who may
// do there what they ask for; to others it does not exist. It runs for every route:
// middleware of an echo group turns a 405 into a 404.
func (d *Door) Program(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		code := c.Param("program")
		if code == "" && strings.Contains(c.Request().URL.Path, "/programs//") {
			return tags.Errorf(tags.NotFound, "there is no program of that name")
		}
		if code == "" {
			return next(c)
		}
		p, ctx, role, err := d.programFor(c, code)
		if err != nil {
			return err
		}
		if need := needs(c); !role.Reaches(need) {
			return echo.NewHTTPError(http.StatusForbidden, "this takes the role of "+string(need)+"; yours is "+string(role))
		}
		c.Set("program", p)
		c.Set("role", role)
		c.SetRequest(c.Request().WithContext(postgres.InProgram(ctx, p.ID)))
		return next(c)
	}
}

// programFor returns a program and the visitor's role in it, NotFound in the
// same words whether it does not exist or is not theirs; with the context to ask it under.
func (d *Door) programFor(c echo.Context, code string) (tags.Program, context.Context, staff.Role, error) {
	if d.Keys == nil {
		p, ctx, err := d.find(c, d.store, code)
		return p, ctx, staff.Owner, err
	}
	p, ctx, err := d.find(c, d.Keys, code)
	if e := tags.As(err); err != nil && (e == nil || e.Kind != tags.NotFound) {
		return p, ctx, "", err
	}
	w := Visitor(c)
	role := w.Role
	if w.Program.Valid && w.Program.UUID != p.ID {
		role = ""
	} else if !w.Program.Valid {
		if role, err = d.Keys.RoleIn(ctx, w, p.ID); err != nil {
			return p, ctx, "", err
		}
	}
	if role == "" {
		return p, ctx, "", tags.Errorf(tags.NotFound, "there is no program %q", code)
	}
	return p, ctx, role, nil
}

// find looks a program up. Who only reads is told at once what is new of its kept plays; what
// a writer counts after the write must not be of before it.
func (d *Door) find(c echo.Context, through *postgres.Store, code string) (tags.Program, context.Context, error) {
	ctx := c.Request().Context()
	if m := c.Request().Method; m == http.MethodGet || m == http.MethodHead {
		return d.store.Enter(ctx, through, code)
	}
	p, err := through.Program(ctx, code)
	return p, ctx, err
}

// needs is the role a request needs: the one the document names, else a reader
// to read and an analyst to write.
func needs(c echo.Context) staff.Role {
	if r, ok := c.Get("needs").(staff.Role); ok {
		return r
	}
	// its forms ask for more themselves
	if m := c.Request().Method; m == http.MethodGet || m == http.MethodHead || c.Path() == StaffPath {
		return staff.Reader
	}
	return staff.Analyst
}

// RoleOf is what the visitor is in the program of the path.
func RoleOf(c echo.Context) staff.Role { r, _ := c.Get("role").(staff.Role); return r }

// ProgramOf is the program of the path.
func ProgramOf(c echo.Context) tags.Program { return c.Get("program").(tags.Program) }

// StaffPath is the page of a program's people, whose forms ask for more themselves.
const StaffPath = "/programs/:program/staff"

// Programs lists those the visitor may see.
func (d *Door) Programs(c echo.Context) ([]tags.Program, error) {
	ctx := c.Request().Context()
	if d.Keys == nil {
		return d.store.Programs(ctx)
	}
	ps, err := d.Keys.ProgramsOf(ctx, Visitor(c).ID)
	if only := Visitor(c).Program; only.Valid {
		var one []tags.Program
		for _, p := range ps {
			if p.ID == only.UUID {
				one = append(one, p)
			}
		}
		ps = one
	}
	return ps, err
}
