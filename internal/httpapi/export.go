package httpapi

import (
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"overhang/internal/archive"
	"overhang/internal/door"
	"overhang/internal/tags/postgres"
)

// export streams everything a program owns, as CSV or as Parquet. A fault on the way breaks the
// connection off: what arrived must not look whole.
func (s *server) export(c echo.Context) error {
	ctx, p := c.Request().Context(), door.ProgramOf(c)
	now := time.Now()
	h := c.Response().Header()
	h.Set(echo.HeaderContentType, "application/zip")
	write, form := archive.Write, ""
	if c.QueryParam("format") == "parquet" {
		write, form = archive.WriteParquet, "-parquet"
	}
	h.Set(echo.HeaderContentDisposition, named("attachment", p.Code+now.UTC().Format("-2006-01-02")+form+".zip"))
	err := s.store.Export(ctx, p.ID, func(e *postgres.Export) error { return write(ctx, c.Response(), e, now) })
	if err == nil {
		return nil
	}
	if !c.Response().Committed {
		h.Del(echo.HeaderContentDisposition)
		return err
	}
	s.log.Error("export broke off", "error", err)
	panic(http.ErrAbortHandler)
}
