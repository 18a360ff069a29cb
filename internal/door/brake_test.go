package door

import (
	"fmt"
	"net"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

// TestBrake: five tries, then waits that double; another address and another login are
// not held up; who waits gets his turn; who knew it in the end starts anew.
func TestBrake(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBrake()
		for n := range freeTries {
			if w := b.try("head", "192.0.2.1"); w != 0 {
				t.Fatalf("try %d waits %v", n, w)
			}
		}
		for want := firstWait; want <= longestWait; want *= 2 {
			w := b.try("HEAD", "192.0.2.1")
			if w != want {
				t.Errorf("waits %v, want %v", w, want)
			}
			if b.try("head", "192.0.2.2") != 0 || b.try(fmt.Sprint("ana", want), "192.0.2.1") != 0 {
				t.Error("another address or another login waits")
			}
			b.fits("head", "192.0.2.2")
			time.Sleep(w)
			if w := b.try("head", "192.0.2.1"); w != 0 {
				t.Errorf("waits %v after waiting", w)
			}
		}
		b.fits("head", "192.0.2.1")
		if w := b.try("head", "192.0.2.1"); w != 0 {
			t.Errorf("waits %v after the right password", w)
		}
	})
}

// TestBrakeMemory: made-up logins, however long, take no more than so many pairs; an
// IPv6 subscriber is one address.
func TestBrakeMemory(t *testing.T) {
	b := newBrake()
	long := strings.Repeat("x", 900_000) // a few: copying it is what the test would take its time for
	for i := range mostTracked + 1_000 {
		b.try(fmt.Sprint(i, long[:len(long)/(i%1_000*1_000+1)]), "192.0.2.1")
	}
	if len(b.pairs) != mostTracked || b.order.Len() != mostTracked {
		t.Errorf("%d pairs, %d in order; want %d", len(b.pairs), b.order.Len(), mostTracked)
	}
	if b.pair("a", "2001:db8:1:2::1") != b.pair("A", "2001:db8:1:2:ffff::9") ||
		b.pair("a", "2001:db8:1:2::1") == b.pair("a", "2001:db8:1:3::1") {
		t.Error("a /64 is not one address")
	}
}

// TestAddresses: a forwarded address is believed of the proxy alone (RFC 7239, 8.1: the
// header can be forged by anybody before it).
func TestAddresses(t *testing.T) {
	_, proxy, _ := net.ParseCIDR("127.0.0.1/32")
	for _, x := range []struct {
		from    string
		proxies []*net.IPNet
		want    string
	}{
		{"127.0.0.1:9", nil, "127.0.0.1"},
		{"127.0.0.1:9", []*net.IPNet{proxy}, "198.51.100.7"},
		{"203.0.113.5:9", []*net.IPNet{proxy}, "203.0.113.5"},
	} {
		r := httptest.NewRequest("GET", "/", nil)
		r.RemoteAddr = x.from
		r.Header.Set("X-Forwarded-For", "10.0.0.1, 198.51.100.7")
		if got := Addresses(x.proxies)(r); got != x.want {
			t.Errorf("from %s behind %v: %s, want %s", x.from, x.proxies, got, x.want)
		}
	}
}
