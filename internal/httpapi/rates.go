package httpapi

import (
	"net/http"
	"overhang/internal/door"
	"overhang/internal/lanes"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"
	limit "golang.org/x/time/rate"
)

// Rates bound how often one person may ask, by what it costs. They are far above
// what hands can do on our pages; a burst is a browser that comes back with an
// evening's tags, a game room that opens, or a script.
type rates struct{ write, costly, live, read *pace }

// A pace is a rate with its burst for everybody apiece.
type pace struct {
	every time.Duration
	store *middleware.RateLimiterMemoryStore
	what  string
}

func newPace(every time.Duration, burst int, what string) *pace {
	return &pace{every, middleware.NewRateLimiterMemoryStoreWithConfig(
		middleware.RateLimiterMemoryStoreConfig{Rate: limit.Every(every), Burst: burst, ExpiresIn: 10 * time.Minute}), what}
}

// WithRates refuses anyone who asks more often than the pages or a patient script do.
func WithRates() Option {
	return func(s *server) {
		s.rates = &rates{
			write:  newPace(time.Second/20, 300, "writes"),
			costly: newPace(time.Second/4, 60, "costly questions"),
			live:   newPace(time.Second/20, 200, "live questions"), // a drag asks some ten times a second
			read:   newPace(time.Second/100, 1000, "requests"),
		}
	}
}

// WithoutBrakes lets anybody ask and try passwords as often as they like, after the options of
// door and rates: for tests that count what comes through, never for a server that others reach.
func WithoutBrakes() Option {
	return func(s *server) {
		s.rates, s.unbraked = nil, true
	}
}

// paced refuses a request of somebody who asks too often.
func (s *server) paced(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if s.rates == nil || door.Open(c.Request().URL.Path) && !door.ForPlayers(c.Path()) {
			return next(c)
		}
		p := s.rates.of(c)
		if ok, _ := p.store.Allow(door.Asker(c)); !ok {
			s.metrics.refuse(s.lane(c).Name, lanes.TooOften)
			return door.TooMany(c, p.every, "too many "+p.what+" at once: ask again a little later")
		}
		return next(c)
	}
}

func (r *rates) of(c echo.Context) *pace {
	m := c.Request().Method
	switch {
	case isLive(c.Path()):
		return r.live
	case costOf(c) != 0:
		return r.costly
	case m == http.MethodGet || m == http.MethodHead:
		return r.read
	}
	return r.write
}
