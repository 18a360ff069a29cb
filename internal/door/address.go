package door

import (
	"net"
	"net/http"
	"net/netip"
	"strconv"
	"time"

	"github.com/labstack/echo/v4"
)

// Addresses says how a request's address is found: X-Forwarded-For of these
// networks is believed and of nobody else. A header that anybody may write is no address.
func Addresses(proxies []*net.IPNet) echo.IPExtractor {
	if len(proxies) == 0 {
		return echo.ExtractIPDirect() // a header could be forged
	}
	trust := []echo.TrustOption{echo.TrustLoopback(false), echo.TrustLinkLocal(false), echo.TrustPrivateNet(false)}
	for _, n := range proxies {
		trust = append(trust, echo.TrustIPRange(n))
	}
	return echo.ExtractIPFromXFFHeader(trust...)
}

// Network is the address, of IPv6 the /64 that one subscriber has.
func Network(address string) string {
	a, err := netip.ParseAddr(address)
	if err != nil {
		return address
	}
	if a = a.Unmap(); a.Is6() {
		if p, err := a.Prefix(64); err == nil {
			return p.String()
		}
	}
	return a.String()
}

// Asker is who a request counts for: the person, by a session or any of their
// tokens; where nobody signs in, the address.
func Asker(c echo.Context) string {
	if w := Visitor(c); w != nil {
		return w.ID.String()
	}
	return c.RealIP()
}

// TooMany refuses a request and says when to come again.
func TooMany(c echo.Context, again time.Duration, why string) error {
	c.Response().Header().Set(echo.HeaderRetryAfter, strconv.Itoa(max(1, int((again+time.Second-1)/time.Second))))
	return echo.NewHTTPError(http.StatusTooManyRequests, why)
}
