//go:build unix

package httpapi_test

import (
	"fmt"
	"io"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"runtime/debug"
	"strings"
	"syscall"
	"testing"
	"time"

	"overhang/internal/httpapi"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

// BenchmarkTendency is what a tendency of 1,500 plays costs over HTTP on one connection,
// without sign-in, with a token and with a session, beside the store's own answer, a bare round trip to the
// database and one to this server: go test ./internal/httpapi -run '^$' -bench Tendency -cpuprofile FILE.
func BenchmarkTendency(b *testing.B) {
	const asked = "/tendencies?by=concept&down=3&distance_band=7-10"
	defer debug.SetGCPercent(debug.SetGCPercent(300)) // as api serves
	store, p := postgrestest.New(b)
	opponentOf1500(b, store, p)
	log := slog.New(slog.DiscardHandler)
	b.Run("a round trip", func(b *testing.B) {
		for b.Loop() {
			if err := store.Ping(b.Context()); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("the store", func(b *testing.B) {
		defer processor(b)()
		q := tags.TendencyQuery{By: []string{"concept"},
			Filters: map[string][]string{"down": {"3"}, "distance_band": {"7-10"}}}
		for b.Loop() {
			if _, err := store.Tendencies(b.Context(), p, q); err != nil {
				b.Fatal(err)
			}
		}
	})
	serving := func(name, path, token string, store *postgres.Store, opts ...httpapi.Option) {
		h, err := httpapi.New(store, log, opts...)
		if err != nil {
			b.Fatal(err)
		}
		srv := httptest.NewServer(h)
		b.Cleanup(srv.Close)
		b.Run(name, func(b *testing.B) { askedOver(b, srv.URL+path, token) })
		b.Run(name+", the handlers alone", func(b *testing.B) { askedOf(b, h, path, token) })
	}
	serving("no question over HTTP", "/healthz", "", store)
	serving("over HTTP", ours+asked, "", store)
	walled := behindWalls(b, store)
	serving("over HTTP, by token behind walls", ours+asked, tokenOf(b, store, "ours", "head", staff.Owner),
		walled, httpapi.WithLogin(store))
	session, err := store.SignIn(b.Context(), "head", password)
	if err != nil {
		b.Fatal(err)
	}
	serving("over HTTP, by session behind walls", ours+asked, "overhang="+session, walled, httpapi.WithLogin(store))
}

// showing sends a token, or the cookie of a session.
func showing(req *http.Request, token string) {
	if strings.HasPrefix(token, "overhang=") {
		req.Header.Set("Cookie", token)
	} else {
		req.Header.Set("Authorization", "Bearer "+token)
	}
}

// askedOver asks the same again and again over one connection, until its plays are kept
// and then for the clock.
func askedOver(b *testing.B, address, token string) {
	client := &http.Client{Transport: &http.Transport{DisableCompression: true}}
	ask := func() {
		req, _ := http.NewRequest("GET", address, nil)
		showing(req, token)
		r, err := client.Do(req)
		if err != nil {
			b.Fatal(err)
		}
		body, _ := io.ReadAll(r.Body)
		r.Body.Close()
		if r.StatusCode != http.StatusOK {
			b.Fatalf("%d %s", r.StatusCode, body)
		}
	}
	for range 20 {
		ask()
		time.Sleep(20 * time.Millisecond)
	}
	defer processor(b)()
	for b.Loop() {
		ask()
	}
}

// processor says what an operation takes of the processors, which other work on them changes
// less than the clock. It is this process's only, not the database's.
func processor(b *testing.B) (done func()) {
	used := func() time.Duration {
		var u syscall.Rusage
		syscall.Getrusage(syscall.RUSAGE_SELF, &u)
		return time.Duration(u.Utime.Nano() + u.Stime.Nano())
	}
	before := used()
	return func() { b.ReportMetric(float64(used()-before)/float64(b.N), "cpu-ns/op") }
}

// askedOf asks the handlers the same with no connection between; its plays are kept.
func askedOf(b *testing.B, h http.Handler, path, token string) {
	b.ReportAllocs()
	defer processor(b)()
	for b.Loop() {
		req, _ := http.NewRequest("GET", "http://localhost"+path, nil)
		req.Body, req.RemoteAddr = http.NoBody, "127.0.0.1:1" // as a server has them
		showing(req, token)
		w := &unsent{header: http.Header{}}
		h.ServeHTTP(w, req)
		if w.status != http.StatusOK {
			b.Fatalf("%d", w.status)
		}
	}
}

// unsent is an answer that goes nowhere.
type unsent struct {
	header http.Header
	status int
}

func (w *unsent) Header() http.Header         { return w.header }
func (w *unsent) WriteHeader(status int)      { w.status = status }
func (w *unsent) Write(p []byte) (int, error) { return len(p), nil }

// opponentOf1500 loads an opponent of twenty games, invented.
func opponentOf1500(b *testing.B, s *postgres.Store, p tags.Program) {
	var words []tags.Word
	for i := range 60 {
		words = append(words, tags.Word{Field: "concept", Word: fmt.Sprint("invented ", i)})
	}
	if err := s.AddWords(b.Context(), p.ID, words); err != nil {
		b.Fatal(err)
	}
	r := rand.New(rand.NewPCG(23, 1500))
	var plays []tags.Play
	for i := range 20 {
		g, err := s.EnsureGame(b.Context(), p.ID, tags.Opponent{Code: "o1", Name: "Invented"}, "",
			tags.Game{Label: fmt.Sprint("game ", i)})
		if err != nil {
			b.Fatal(err)
		}
		for n := range 75 {
			plays = append(plays, tags.Play{GameID: g.ID, OpponentID: g.OpponentID, Number: n + 1, Status: "counted",
				Down: ptr(1 + r.IntN(4)), DistanceYd: ptr(1 + r.IntN(15)), YardsToGoal: ptr(1 + r.IntN(99)),
				Concept: &words[min(59, int(r.ExpFloat64()*12))].Word, Called: ptr("run"), GainYd: ptr(r.IntN(20) - 4)})
		}
	}
	if _, err := s.LoadPlays(b.Context(), p.ID, plays); err != nil {
		b.Fatal(err)
	}
}
