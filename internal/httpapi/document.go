package httpapi

import (
	"net/http"
	"sync"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/labstack/echo/v4"

	"overhang/api"
	"overhang/internal/contract"
	"overhang/internal/pages"
	"overhang/internal/wire"
)

// A telling is the document in the forms that it is told in beside its own.
type telling struct {
	operations []pages.Operation
	asJSON     []byte
}

// told is made once however many servers there are.
var told = sync.OnceValues(func() (*telling, error) {
	doc, err := openapi3.NewLoader().LoadFromData(api.Document)
	if err != nil {
		return nil, err
	}
	raw, err := doc.MarshalJSON()
	return &telling{pages.Operations(doc, contract.RoleFor), raw}, err
})

// documentRoutes serve the contract: as it is written, as JSON, and as a page.
func (s *server) documentRoutes(e *echo.Echo) error {
	tell, err := told()
	if err != nil {
		return err
	}
	fixed(e, "/openapi.yaml", "application/yaml", api.Document)
	fixed(e, "/openapi.json", "application/json", tell.asJSON)
	e.GET("/docs", func(c echo.Context) error { return s.pages.Documented(c, tell.operations) })
	e.GET(wire.ProblemsPath, func(c echo.Context) error { return s.pages.Problems(c, wire.Problems) })
	e.GET(wire.ProblemsPath+"/:name", func(c echo.Context) error {
		p, ok := wire.Problem(c.Param("name"))
		if !ok {
			return echo.ErrNotFound
		}
		return s.pages.Problems(c, []wire.ProblemType{p})
	})
	return nil
}

// fixed serves bytes that never change while the server runs.
func fixed(e *echo.Echo, path, kind string, body []byte) {
	e.GET(path, func(c echo.Context) error {
		c.Response().Header().Set("Cache-Control", "no-cache")
		return c.Blob(http.StatusOK, kind, body)
	})
}
