package httpapi_test

import (
	"bytes"
	"context"
	"io"
	"log/slog"
	"net/http/httptest"
	"net/url"
	"os"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers/gorillamux"
	"github.com/google/uuid"

	"overhang/api"
	"overhang/internal/httpapi"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

// asker returns a function that asks the whole server, on a database with one
// play: any question is answered as the document says, and never with a fault
// of ours.
func asker(f *testing.F) func(t *testing.T, target string) (status int, body string) {
	ctx := context.Background()
	// The workers of a fuzz run are processes of their own, which may be killed:
	// they use the database of the one that started them.
	const env = "OVERHANG_FUZZ_DATABASE"
	if os.Getenv(env) == "" {
		os.Setenv(env, fuzzDatabase(f))
		f.Cleanup(func() { os.Unsetenv(env) })
	}
	store, err := postgres.Open(ctx, os.Getenv(env))
	if err != nil {
		f.Fatal(err)
	}
	f.Cleanup(store.Close)
	h, err := httpapi.New(store, slog.New(slog.NewTextHandler(io.Discard, nil)))
	if err != nil {
		f.Fatal(err)
	}
	doc, err := openapi3.NewLoader().LoadFromData(api.Document)
	if err != nil {
		f.Fatal(err)
	}
	router, err := gorillamux.NewRouter(doc)
	if err != nil {
		f.Fatal(err)
	}
	return func(t *testing.T, target string) (int, string) {
		req, rec := httptest.NewRequest("GET", target, nil), httptest.NewRecorder()
		req.Host = "localhost" // without sign-in the server answers to no other name
		h.ServeHTTP(rec, req)
		if rec.Code >= 500 {
			t.Fatalf("GET %s: %d %s", target, rec.Code, rec.Body)
		}
		route, params, err := router.FindRoute(req)
		if err != nil {
			t.Fatalf("GET %s: %v", target, err)
		}
		in := &openapi3filter.ResponseValidationInput{RequestValidationInput: &openapi3filter.RequestValidationInput{Request: req, PathParams: params, Route: route},
			Status: rec.Code, Header: rec.Header(), Body: io.NopCloser(bytes.NewReader(rec.Body.Bytes())),
			Options: &openapi3filter.Options{IncludeResponseStatus: true}}
		if err := openapi3filter.ValidateResponse(ctx, in); err != nil {
			t.Fatalf("GET %s: the answer breaks the document: %v\n%s", target, err, rec.Body)
		}
		return rec.Code, rec.Body.String()
	}
}

// fuzzDatabase makes a database with one play and returns its address.
func fuzzDatabase(f *testing.F) string {
	ctx, url := context.Background(), postgrestest.URL(f)
	store, err := postgres.Open(ctx, url)
	if err != nil {
		f.Fatal(err)
	}
	defer store.Close()
	p, err := store.EnsureProgram(ctx, tags.Program{Code: "ours", Name: "Invented staff", Level: "high_school",
		Invented: true})
	if err != nil {
		f.Fatal(err)
	}
	g, err := store.EnsureGame(ctx, p.ID, tags.Opponent{Code: "o1", Name: "Invented"}, "", tags.Game{Label: "week 1"})
	if err != nil {
		f.Fatal(err)
	}
	if _, err := store.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: 1, Status: "counted"}); err != nil {
		f.Fatal(err)
	}
	return url
}

// FuzzFilters asks for tendencies under any parameters.
func FuzzFilters(f *testing.F) {
	ask := asker(f)
	for _, seed := range [][5]string{{"down", "", "down", "3", "csv"}, {"down,hash", "down", "hash", "(unknown),left",
		"json"}, {"concept", "", "distance", "7,8,,x", ""},
		{"mood", "mood", "by", "down", "pdf"}, {"week,last_games", "week", "last_games", "-1", "json"},
		{"field_zone", "", "field_zone", "RED", "json"}, {"down", "", "opponent", "' OR 1=1 --\x00\xff", ""}} {
		f.Add(seed[0], seed[1], seed[2], seed[3], seed[4])
	}
	f.Fuzz(func(t *testing.T, by, within, name, value, format string) {
		q := url.Values{"by": {by}}
		for k, v := range map[string]string{"within": within, name: value, "format": format} {
			if v != "" {
				q.Add(k, v)
			}
		}
		if status, body := ask(t, ours+"/tendencies?"+q.Encode()); status != 200 && status != 400 {
			t.Fatalf("%q: %d %s", q, status, body)
		}
	})
}

// FuzzCursor asks for pages behind any cursor.
func FuzzCursor(f *testing.F) {
	ask := asker(f)
	for _, seed := range []string{"", "zzz", "AAAAAAAAAAAAAAAAAAAAAA", "_____________________w",
		"AAAAAAAAAAAAAAAAAAAAAA==", uuid.Nil.String()} {
		f.Add(seed, "5", "down", "3")
	}
	f.Fuzz(func(t *testing.T, cursor, limit, name, value string) {
		q := url.Values{"cursor": {cursor}, "limit": {limit}}
		if name != "" {
			q.Add(name, value)
		}
		if status, body := ask(t, ours+"/plays?"+q.Encode()); status != 200 && status != 400 {
			t.Fatalf("%q: %d %s", q, status, body)
		}
	})
}
