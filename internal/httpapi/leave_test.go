package httpapi_test

import (
	"bytes"
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"overhang/integration/madeup"
	"overhang/internal/httpapi"
	"overhang/internal/tags/postgres/postgrestest"
)

// TestWorstCall: the largest call that is read is answered with how much of it was not tried,
// and a call of the book wholly.
func TestWorstCall(t *testing.T) {
	c, _ := serve(t)
	start := time.Now()
	large := c.must(200, "POST", "/v1/answers?per_kind=10", madeup.AsksAnswers(madeup.WorstCall("quarters match")))
	t.Logf("the largest call took %v", time.Since(start))
	if n, _ := large["changes_not_tried"].(float64); n < 1 {
		t.Errorf("%v changes were not tried", large["changes_not_tried"])
	}
	usual := c.must(200, "POST", "/v1/answers?per_kind=10", madeup.AsksAnswers(`"quarters match"`))
	if usual["changes_not_tried"] != nil {
		t.Errorf("of a call of the book %v changes were not tried", usual["changes_not_tried"])
	}
}

// TestStoredNotTried: a call that is stored although one man's rules hang on too much says so,
// as the answers to it do; one of the book is tried wholly.
func TestStoredNotTried(t *testing.T) {
	c, _ := serve(t)
	body := madeup.Entangled("quarters match")
	stored := c.must(201, "POST", ours+"/calls", `{"name":"entangled","active":true,"body":`+body+`}`)
	if names, _ := stored["not_tried"].([]any); len(names) == 0 {
		t.Errorf("stored with not_tried %v", stored["not_tried"])
	}
	asked := c.must(200, "POST", "/v1/answers", madeup.AsksAnswers(body))
	if fmt.Sprint(asked["not_tried"]) != fmt.Sprint(stored["not_tried"]) {
		t.Errorf("the answers say %v, the stored call %v", asked["not_tried"], stored["not_tried"])
	}
	book := c.must(200, "GET", "/v1/book", "")["items"].([]any)[0]
	plain := c.must(201, "POST", ours+"/calls", `{"name":"plain","active":true,"body":`+mustJSON(book)+`}`)
	if plain["not_tried"] != nil {
		t.Errorf("of a call of the book: %v", plain["not_tried"])
	}
}

// TestClientLeaves: a client that leaves ends its question before it is answered, over HTTP,
// and is no error in the log. How soon is printed, n 20: the documentation of package lanes has the figures.
func TestClientLeaves(t *testing.T) {
	store, _ := postgrestest.New(t)
	var log bytes.Buffer
	h, err := httpapi.New(store, slog.New(slog.NewJSONHandler(&log, nil)))
	if err != nil {
		t.Fatal(err)
	}
	ended := make(chan time.Time, 1)
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h.ServeHTTP(w, r)
		ended <- time.Now()
	}))
	t.Cleanup(srv.Close)
	body := madeup.AsksAnswers(madeup.WorstCall("quarters match"))
	var whole time.Duration // what an answer takes; what is read once, is read then
	for range 2 {
		start := time.Now()
		resp, err := http.Post(srv.URL+"/v1/answers?per_kind=10", "application/json", strings.NewReader(body))
		if err != nil || resp.StatusCode != 200 {
			t.Fatal(resp, err)
		}
		whole = (<-ended).Sub(start)
	}
	log.Reset()
	var most time.Duration
	for i := range 20 {
		ctx, leave := context.WithCancel(t.Context())
		req, err := http.NewRequestWithContext(ctx, "POST", srv.URL+"/v1/answers?per_kind=10", strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Content-Type", "application/json")
		var left time.Time
		after := whole * time.Duration(4+i) / 48 // to half of it
		time.AfterFunc(after, func() { left = time.Now(); leave() })
		if _, err := http.DefaultClient.Do(req); err == nil {
			t.Fatalf("try %d was answered before its client left: the test shows nothing", i)
		}
		lag := (<-ended).Sub(left)
		t.Logf("left after %v: stopped after %v", after, lag)
		most = max(most, lag)
	}
	t.Logf("the engine stopped at most %v after its client left", most)
	lines := strings.Split(strings.TrimSpace(log.String()), "\n")
	for _, line := range lines {
		if !strings.Contains(line, `"level":"INFO","msg":"request"`) || !strings.Contains(line, `"status":499`) ||
			!strings.Contains(line, `"from":"127.0.0.1"`) || !strings.Contains(line, `"who":`) {
			t.Errorf("logged of who left: %s", line)
		}
	}
	if len(lines) != 20 {
		t.Errorf("%d lines of 20 requests", len(lines))
	}
}
