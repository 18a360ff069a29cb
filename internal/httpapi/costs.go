package httpapi

import (
	"cmp"

	"github.com/labstack/echo/v4"
)

// A cost says what a question of its route asks for.
type cost int

const (
	byDatabase cost = iota + 1 // the database counts through many plays
	byEngine                   // the engine plays calls against concepts
	wholly                     // all that a program owns is read, as it is now
)

// costOf is what a request costs, 0 when it is ordinary.
func costOf(c echo.Context) cost {
	return cmp.Or(costs[c.Path()], reportCosts[c.Path()], costs[c.Request().Method+" "+c.Path()])
}

// costs are the costly questions by route, and the costly writes by method and
// route, beside the reports (reportCosts); all else is ordinary.
var costs = map[string]cost{
	"/v1/programs/:program/agreement":                               byDatabase,
	"/v1/programs/:program/tendencies":                              byDatabase,
	"/v1/programs/:program/snaps":                                   byDatabase,
	"/v1/programs/:program/tells":                                   byDatabase,
	"/v1/programs/:program/trend":                                   byDatabase,
	"/v1/programs/:program/estimates":                               byDatabase,
	"/v1/programs/:program/depths":                                  byDatabase,
	"/v1/programs/:program/export":                                  wholly,
	"/v1/programs/:program/league":                                  wholly, // no replica: it may not know what ended
	"/v1/programs/:program/opponents/:opponent/likeness":            byDatabase,
	"/v1/programs/:program/opponents/:opponent/concepts":            byDatabase,
	"/v1/programs/:program/opponents/:opponent/concept-suggestions": byDatabase,
	"/v1/programs/:program/opponents/:opponent/stress":              byEngine,
	"/v1/programs/:program/opponents/:opponent/drawing":             byEngine,
	"/v1/programs/:program/opponents/:opponent/report":              byEngine,
	"/programs/:program/opponents/:opponent":                        byEngine,
	"/programs/:program/opponents/:opponent/plans/:id/review":       byEngine,
	"/programs/:program/self-scout":                                 byDatabase,
	"/programs/:program/opponents/:opponent/cell":                   byEngine,
	"/programs/:program/opponents/:opponent/players":                byEngine,
	"POST /v1/programs/:program/opponents/:opponent/packet-links":   byEngine,
	"/v1/programs/:program/opponents/:opponent/answers":             byEngine,
	"/v1/programs/:program/opponents/:opponent/sweeps/alignment":    byEngine,
	"/v1/programs/:program/opponents/:opponent/sweeps/break":        byEngine,
	"/v1/stress": byEngine,
	"POST /v1/programs/:program/opponents/:opponent/try": byEngine,
	"/v1/drawing":                                           byEngine,
	"/v1/answers":                                           byEngine,
	"/v1/sweeps/alignment":                                  byEngine,
	"/v1/sweeps/break":                                      byEngine,
	"POST /v1/programs/:program/imports":                    byDatabase,
	"POST /v1/programs/:program/imports/proposals":          byDatabase,
	"POST /v1/programs/:program/plans":                      byEngine,
	"POST /v1/programs/:program/plans/:id/refresh":          byEngine,
	"POST /programs/:program/opponents/:opponent/plans":     byEngine,
	"POST /programs/:program/opponents/:opponent/plans/:id": byEngine,
}
