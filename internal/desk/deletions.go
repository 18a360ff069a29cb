package desk

import (
	"context"
	"encoding/base64"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/door"
	"overhang/internal/staff"
	"overhang/internal/tags"
)

// A DeletionPage is a page of the list.
type DeletionPage struct {
	Items []tags.Deletion `json:"items"`
	Next  string          `json:"next_cursor,omitempty"`
}

// Deletions is the page of the list that a request asks for.
func (d *Desk) Deletions(c echo.Context) (out DeletionPage, err error) {
	limit, before := 100, uuid.Nil
	if v := c.QueryParam("limit"); v != "" {
		limit, _ = strconv.Atoi(v) // the contract has checked it
	}
	if v := c.QueryParam("cursor"); v != "" {
		if before, err = CursorOf(v); err != nil {
			return out, err
		}
	}
	ds, err := d.Store.Deletions(c.Request().Context(), door.ProgramOf(c).ID, limit+1, before)
	out.Items = append([]tags.Deletion{}, ds...)
	if len(ds) > limit {
		out.Items = ds[:limit]
		id := ds[limit-1].ID
		out.Next = base64.RawURLEncoding.EncodeToString(id[:])
	}
	return out, err
}

// BringBack restores one deletion, for who might have deleted it.
func (d *Desk) BringBack(c echo.Context, id uuid.UUID) (del tags.Deletion, err error) {
	ctx, p := c.Request().Context(), door.ProgramOf(c)
	if del, err = d.Store.Deletion(ctx, p.ID, id); err != nil {
		return del, err
	}
	if need := d.Restores(c, &del); !door.RoleOf(c).Reaches(need) {
		return del, echo.NewHTTPError(http.StatusForbidden, "restoring that is for a program's "+string(need))
	}
	name, err := Analyst(c)
	if err != nil {
		return del, err
	}
	return d.Store.By(name).Restore(ctx, p.ID, id)
}

// Restores is the role that restoring needs: the one that deleting such a thing
// needs, and for what somebody else tagged blind a coordinator's.
func (d *Desk) Restores(c echo.Context, del *tags.Deletion) staff.Role {
	if w := door.Visitor(c); del.Kind == "blind_tags" && w != nil && (del.Who == nil || *del.Who != w.Login) {
		return staff.Coordinator
	}
	return d.Needs(http.MethodDelete, "/v1/programs/{program}/"+strings.ReplaceAll(del.Kind, "_", "-")+"/{id}")
}

// PurgeOlder purges what was deleted so many days ago, or longer, and says how much it was.
func (d *Desk) PurgeOlder(ctx context.Context, program uuid.UUID, days int) (int, error) {
	return d.Store.PurgeOlder(ctx, program, time.Now().AddDate(0, 0, -days))
}

// CursorOf reads the last identity of the page before.
func CursorOf(v string) (uuid.UUID, error) {
	raw, err := base64.RawURLEncoding.DecodeString(v)
	id, _ := uuid.FromBytes(raw)
	if err != nil || len(raw) != 16 {
		return id, tags.Fieldf(tags.Invalid, "cursor", "did not come from this list: start again without it")
	}
	return id, nil
}
