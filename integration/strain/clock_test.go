package strain

import (
	"context"
	"fmt"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/staff"
	"overhang/internal/tags/postgres"
)

// The clock that jumps is PostgreSQL's, by libfaketime: it decides when sessions,
// tokens and kept Idempotency-Keys end, and stamps the history. The server's own
// cannot be faked without the whole machine's, since a Go program asks the kernel
// and not the C library; to the pair of them a jump of one is a jump of the other
// the other way.
var faketimes = "/usr/lib/*/faketime/libfaketime.so.1"

func needsFaketime(t *testing.T) string {
	if found, _ := filepath.Glob(faketimes); len(found) == 0 {
		return "no libfaketime (Debian: apt-get install libfaketime)"
	}
	return ""
}

// offset is the file that says how far the database's clock is off.
func offset(r *rig) string { return filepath.Join(r.dir, "offset") }

func fakedTime(t *testing.T) *rig {
	dir := folder(t)
	lib, _ := filepath.Glob(faketimes)
	set(t, filepath.Join(dir, "offset"), 0)
	return newRig(t, dir, "LD_PRELOAD="+lib[0], "FAKETIME_TIMESTAMP_FILE="+filepath.Join(dir, "offset"),
		"FAKETIME_NO_CACHE=1", "DONT_FAKE_MONOTONIC=1")
}

func set(t *testing.T, file string, off time.Duration) {
	t.Helper()
	if err := os.WriteFile(file, fmt.Appendf(nil, "%+d\n", int(off.Seconds())), 0o644); err != nil {
		t.Fatal(err)
	}
}

// jumps are where the clock goes to, one after the other, from the true time.
var jumps = []time.Duration{24 * time.Hour, -24 * time.Hour, time.Hour, -10 * time.Minute, 72 * time.Hour, 0}

// clockJumps: writes go on, each once, in the order of their identities; who signs
// in after a jump is in.
func clockJumps(t *testing.T, r *rig, times int) row {
	out := underCrew(func(t *testing.T, r *rig, i int) time.Time {
		off := jumps[i%len(jumps)]
		set(t, offset(r), off)
		from := time.Now()
		var now time.Time
		if err := r.connect().QueryRow(context.Background(), "SELECT clock_timestamp()").Scan(&now); err != nil {
			t.Fatal(err)
		}
		if is := now.Sub(from); (is - off).Abs() > time.Minute {
			t.Fatalf("the database's clock is off by %v, not by %v: nothing was injected", is, off)
		}
		signIn(t, r, person(t, r)) // the same login would soon be slowed down
		return from
	})(t, r, times)
	rows, err := r.connect().Query(context.Background(),
		"SELECT array_agg(number ORDER BY id) FROM plays GROUP BY game_id")
	if err != nil {
		t.Fatal(err)
	}
	games, err := pgx.CollectRows(rows, pgx.RowTo[[]int])
	if err != nil {
		t.Fatal(err)
	}
	ordered := 0
	for _, numbers := range games {
		if ordered += len(numbers); !slices.IsSorted(numbers) {
			t.Errorf("the identities of a game's plays are not in the order they were made in: %v", numbers)
		}
	}
	out.note = fmt.Sprintf("%d identities in order", ordered)
	return out
}

const password = "correct horse battery staple"

// person makes a coordinator with a password and returns the login.
func person(t testing.TB, r *rig) string {
	t.Helper()
	ctx := context.Background()
	store := r.store()
	defer store.Close()
	login := "c" + postgres.NewID().String()
	inv, err := store.Invite(ctx, staff.Invitation{Program: uuid.NullUUID{UUID: r.program.ID, Valid: true}, Login: &login,
		Role: staff.Coordinator})
	if err == nil {
		_, err = store.Accept(ctx, inv, "", login, password, nil)
	}
	if err != nil {
		t.Fatal(err)
	}
	return login
}

// signIn opens a session as a browser does and returns the client that has it.
func signIn(t testing.TB, r *rig, login string) *http.Client {
	t.Helper()
	jar, _ := cookiejar.New(nil)
	c := &http.Client{Jar: jar, Timeout: 60 * time.Second, Transport: &http.Transport{}}
	resp, err := c.PostForm(r.url+"/sign-in", url.Values{"login": {login}, "password": {password}})
	if err != nil {
		t.Fatal(err)
	}
	resp.Body.Close()
	if resp, err = c.Get(r.url + "/v1/me"); err != nil {
		t.Fatal(err)
	}
	resp.Body.Close()
	if resp.StatusCode != http.StatusOK {
		t.Errorf("%s signed in and is answered %d", login, resp.StatusCode)
	}
	return c
}
