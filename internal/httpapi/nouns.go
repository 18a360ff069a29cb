package httpapi

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"overhang/internal/desk"
	"overhang/internal/door"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// mount serves list, create, read, replace and delete of one noun.
func mount[T any, P postgres.Noun[T]](g *echo.Group, path string, shelf postgres.Shelf[T, P],
	before ...echo.MiddlewareFunc) {
	mountWith(g, path, shelf, func(context.Context, *T) error { return nil }, func(_, _ *T) {}, before...)
}

// mountWith is mount with a check that needs more than the noun's own package, and with what
// an answer takes over from what was sent and checked.
func mountWith[T any, P postgres.Noun[T]](g *echo.Group, path string, shelf postgres.Shelf[T, P],
	check func(context.Context, *T) error, take func(sent, stored *T), before ...echo.MiddlewareFunc) {
	g.GET("/"+path, func(c echo.Context) error { return list(c, shelf) }, before...)
	g.POST("/"+path, func(c echo.Context) error { return create(c, shelf, check, take) }, before...)
	g.GET("/"+path+"/:id", func(c echo.Context) error {
		id, err := desk.Identity(c, path)
		if err != nil {
			return err
		}
		v, err := shelf.Get(c.Request().Context(), door.ProgramOf(c).ID, id)
		if err != nil {
			return err
		}
		return answer(c, http.StatusOK, P(&v).Identity(), v)
	}, before...)
	g.PUT("/"+path+"/:id", func(c echo.Context) error { return replace(c, path, shelf, check, take) }, before...)
	g.DELETE("/"+path+"/:id", func(c echo.Context) error { return remove(c, path, shelf) }, before...)
}

// create stores a new noun, once for a key.
func create[T any, P postgres.Noun[T]](c echo.Context, shelf postgres.Shelf[T, P],
	check func(context.Context, *T) error, take func(sent, stored *T)) error {
	v, who, err := sentBy(c, check)
	if err != nil {
		return err
	}
	key, err := idempotencyKey(c)
	if err != nil {
		return err
	}
	sent := v
	v, err = shelf.By(who).CreateOnce(c.Request().Context(), door.ProgramOf(c).ID, key, v)
	if err != nil {
		return err
	}
	take(&sent, &v)
	m := P(&v).Identity()
	c.Response().Header().Set(echo.HeaderLocation, c.Request().URL.Path+"/"+m.ID.String())
	return answer(c, http.StatusCreated, m, v)
}

// replace stores a noun over the version that was seen.
func replace[T any, P postgres.Noun[T]](c echo.Context, path string, shelf postgres.Shelf[T, P],
	check func(context.Context, *T) error, take func(sent, stored *T)) error {
	id, err := desk.Identity(c, path)
	if err != nil {
		return err
	}
	seen, err := ifMatch(c)
	if err != nil {
		return err
	}
	v, who, err := sentBy(c, check)
	if err != nil {
		return err
	}
	now, err := shelf.By(who).Replace(c.Request().Context(), door.ProgramOf(c).ID, id, seen, v)
	if err != nil {
		return err
	}
	take(&v, &now)
	return answer(c, http.StatusOK, P(&now).Identity(), now)
}

// remove deletes the noun of the path in the version that was seen.
func remove[T any, P postgres.Noun[T]](c echo.Context, path string, shelf postgres.Shelf[T, P]) error {
	id, err := desk.Identity(c, path)
	if err != nil {
		return err
	}
	seen, err := ifMatch(c)
	if err != nil {
		return err
	}
	who, err := desk.Analyst(c)
	if err != nil {
		return err
	}
	if err := shelf.By(who).Remove(c.Request().Context(), door.ProgramOf(c).ID, id, seen); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}

func answer(c echo.Context, code int, m *tags.Meta, v any) error {
	c.Response().Header().Set("ETag", m.Tag())
	return c.JSON(code, v)
}

// body decodes what the contract has checked already.
func body[T any](c echo.Context, check func(context.Context, *T) error) (T, error) {
	var v T
	if err := json.NewDecoder(c.Request().Body).Decode(&v); err != nil {
		return v, echo.NewHTTPError(http.StatusBadRequest, "the body is not valid JSON: "+err.Error())
	}
	return v, check(c.Request().Context(), &v)
}

// sentBy is a body with the analyst who sends it.
func sentBy[T any](c echo.Context, check func(context.Context, *T) error) (v T, who string, err error) {
	if v, err = body(c, check); err == nil {
		who, err = desk.Analyst(c)
	}
	return v, who, err
}

// idempotencyKey reads the key of a create, a structured field's string (RFC 9651,
// 3.3.3); the quotes may be left away. "" without one.
func idempotencyKey(c echo.Context) (string, error) {
	keys := c.Request().Header.Values("Idempotency-Key")
	if len(keys) == 0 {
		return "", nil
	}
	key := keys[0]
	if len(key) > 1 && strings.HasPrefix(key, `"`) && strings.HasSuffix(key, `"`) {
		key = key[1 : len(key)-1]
	}
	printable := !strings.ContainsFunc(key, func(r rune) bool { return r < ' ' || r > '~' })
	if len(keys) > 1 || key == "" || !printable {
		return "", tags.Fieldf(tags.Invalid, "Idempotency-Key", "is not one string of printable ASCII")
	}
	return key, nil
}

// ifMatch reads the version that was seen: 428 without one (RFC 6585), and a
// weak or foreign tag matches nothing (RFC 9110, 13.1.1).
func ifMatch(c echo.Context) (int64, error) {
	h := c.Request().Header.Get("If-Match")
	if h == "" {
		return 0, echo.NewHTTPError(http.StatusPreconditionRequired,
			"send If-Match with the ETag you have seen, so that nobody's change is overwritten")
	}
	v, err := strconv.ParseInt(strings.Trim(h, `"`), 10, 64)
	if err != nil || !strings.HasPrefix(h, `"`) || !strings.HasSuffix(h, `"`) {
		return 0, tags.Errorf(tags.Stale, "the ETag %s is not one of this resource", h)
	}
	return v, nil
}

func list[T any, P postgres.Noun[T]](c echo.Context, shelf postgres.Shelf[T, P]) error {
	page := postgres.Page{Limit: 100, Filters: map[string]string{}}
	for name, vs := range c.QueryParams() {
		switch v := vs[0]; name {
		case "limit":
			page.Limit, _ = strconv.Atoi(v) // the contract has checked it
		case "cursor":
			var err error
			if page.After, err = desk.CursorOf(v); err != nil {
				return err
			}
		default:
			page.Filters[name] = v
		}
	}
	want := page.Limit
	page.Limit++ // one more tells whether there is a next page
	vs, err := shelf.List(c.Request().Context(), door.ProgramOf(c).ID, page)
	if err != nil {
		return err
	}
	out := struct {
		Items []T    `json:"items"`
		Next  string `json:"next_cursor,omitempty"`
	}{Items: vs}
	if len(vs) > want {
		out.Items = vs[:want]
		id := P(&vs[want-1]).Identity().ID
		out.Next = base64.RawURLEncoding.EncodeToString(id[:])
		next := *c.Request().URL
		q := next.Query()
		q.Set("cursor", out.Next)
		next.RawQuery = q.Encode()
		c.Response().Header().Set("Link", "<"+(&url.URL{Path: next.Path, RawQuery: next.RawQuery}).String()+`>; rel="next"`)
	}
	if out.Items == nil {
		out.Items = []T{}
	}
	return c.JSON(http.StatusOK, out)
}
