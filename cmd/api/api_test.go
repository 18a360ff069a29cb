package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"overhang/internal/database/setup"
	"overhang/internal/staff"
	"overhang/internal/tags/postgres"
)

// TestLoopback: only what this machine alone can reach (RFC 1122, 3.2.1.3; RFC 4291, 2.5.3);
// an address without a host is everybody's.
func TestLoopback(t *testing.T) {
	t.Parallel()
	for address, want := range map[string]bool{"127.0.0.1:8080": true, "localhost:8080": true, "[::1]:8080": true,
		"127.9.9.9:1": true, ":8080": false, "0.0.0.0:8080": false, "[::]:8080": false, "192.0.2.1:8080": false,
		"example.com:80": false, "localhost": false, "localhost.example.com:80": false, "": false} {
		if loopback(address) != want {
			t.Errorf("%q: %v, want %v", address, !want, want)
		}
	}
}

// TestWhatIsForThisMachineOnly is refused on any other address, in words that name the flag.
func TestWhatIsForThisMachineOnly(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		f    flags
		says string
	}{
		"sign-in, everywhere": {flags{listen: ":8080"}, ""},
		"demo, here":          {flags{listen: "localhost:0", demo: true, noLogin: true, noBrakes: true}, ""},
		"demo, everywhere":    {flags{listen: ":8080", demo: true}, "-demo"},
		"no login, elsewhere": {flags{listen: "192.0.2.1:8080", noLogin: true}, "-no-login"},
		"no brakes":           {flags{listen: "0.0.0.0:8080", noBrakes: true}, "-no-brakes-for-tests"},
	} {
		err := tt.f.check()
		if (err == nil) != (tt.says == "") || err != nil && (!strings.Contains(err.Error(), tt.says) ||
			!strings.Contains(err.Error(), tt.f.listen)) {
			t.Errorf("%s: %v, want %q", name, err, tt.says)
		}
	}
}

// TestKeptMB: a whole number of megabytes, 0 for none; what is none names the variable.
func TestKeptMB(t *testing.T) {
	for v, want := range map[string]int{"": postgres.KeptBytes >> 20, "0": 0, "1": 1, "1048576": 1 << 20, "-1": -1,
		"1048577": -1, "64MB": -1, "1.5": -1, "99999999999999999999": -1} {
		t.Setenv("OVERHANG_KEPT_MB", v)
		mb, err := keptMB()
		if want < 0 && (err == nil || !strings.Contains(err.Error(), "OVERHANG_KEPT_MB="+v)) || want >= 0 && (err != nil ||
			mb != want) {
			t.Errorf("%q: %d, %v; want %d", v, mb, err, want)
		}
	}
}

// TestBeforeADatabaseStarts: whether files can be written or read, leaving none behind.
func TestBeforeADatabaseStarts(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	there, none := filepath.Join(dir, "there"), filepath.Join(dir, "none", "file")
	if err := os.WriteFile(there, []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	for name, tt := range map[string]struct {
		err error
		ok  bool
	}{
		"a new file":                   {fresh(filepath.Join(dir, "new")), true},
		"a file that is there":         {fresh(there), false},
		"a file in no folder":          {fresh(none), false},
		"a folder to write into":       {writable(there), true},
		"no folder to write into":      {writable(none), false},
		"a file to read":               {readable(there), true},
		"no file to read":              {readable(none), false},
		"a folder that is made":        {folder(filepath.Join(dir, "a", "b")), true},
		"a folder that is a file":      {folder(there), false},
		"a folder below a file":        {folder(filepath.Join(there, "x")), false},
		"a folder that is there":       {folder(dir), true},
		"the folder of the very place": {writable("x"), true},
	} {
		if (tt.err == nil) != tt.ok || tt.err != nil && !strings.Contains(tt.err.Error(), "nothing was done") {
			t.Errorf("%s: %v, want good %v", name, tt.err, tt.ok)
		}
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 2 {
		t.Errorf("%d files are left: %v; want the file and the folder", len(left), left)
	}
}

// TestCommandsRefuseBeforeADatabaseStarts: no PostgreSQL can be started here, and what is wrong
// with a command line is said all the same, with nothing written.
func TestCommandsRefuseBeforeADatabaseStarts(t *testing.T) {
	t.Setenv("OVERHANG_DATABASE_URL", "")
	t.Setenv("OVERHANG_POSTGRES_BIN", t.TempDir())
	dir := t.TempDir()
	there := filepath.Join(dir, "there.zip")
	if err := os.WriteFile(there, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	none := filepath.Join(dir, "none.zip")
	const database = "OVERHANG_POSTGRES_BIN" // what says that everything before was right
	carries := func(what string, args ...string) error { return carry(context.Background(), what, args, io.Discard) }
	keeps := func(what string, args ...string) error { return keep(context.Background(), what, args, io.Discard) }
	prints := func(args ...string) error { return printReports(context.Background(), args, io.Discard) }
	invites := func(args ...string) error { return invite(context.Background(), args, io.Discard) }
	for name, tt := range map[string]struct {
		err  error
		says string
	}{
		"an export without a program":     {carries("export", none), "-program CODE"},
		"an export without a file":        {carries("export", "-program", "us"), "FILE.zip"},
		"an export over a file":           {carries("export", "-program", "us", there), "exists"},
		"an export of another form":       {carries("export", "-program", "us", "-format", "pdf", none), `"pdf"`},
		"a removal into parquet":          {carries("remove", "-program", "us", "-format", "parquet", none), `"parquet"`},
		"a removal without a program":     {carries("remove", none), "-program CODE"},
		"an import of parquet":            {carries("import", "-format", "parquet", there), `"parquet"`},
		"an import of nothing":            {carries("import", none), none},
		"an import of two":                {carries("import", there, there), "FILE.zip"},
		"a good export":                   {carries("export", "-program", "us", none), database},
		"a good import":                   {carries("import", there), database},
		"a backup without a file":         {keeps("backup"), "api backup FILE"},
		"a backup over a file":            {keeps("backup", there), "exists"},
		"a restore of nothing":            {keeps("restore", none), none},
		"a good backup":                   {keeps("backup", none), database},
		"a good restore":                  {keeps("restore", there), database},
		"a restore with sums elsewhere":   {keeps("restore", "-sums", there, there), database},
		"a restore of nothing, with sums": {keeps("restore", "-sums", there, none), none},
		"a report there is not":           {prints("-reports", "horoscope", "-out", dir), "horoscope"},
		"a form there is not":             {prints("-format", "docx", "-out", dir), `"docx"`},
		"a situation nobody can read":     {prints("-where", "down=%zz", "-out", dir), "-where"},
		"a folder that is a file":         {prints("-out", there), there},
		"a good print":                    {prints("-out", dir), database},
		"a role there is not":             {invites("-role", "king"), `"king"`},
		"a new password for nobody":       {invites("-new-password"), "-login"},
		"a good invitation":               {invites("-role", "reader"), database},
	} {
		if tt.err == nil || !strings.Contains(tt.err.Error(), tt.says) {
			t.Errorf("%s: %v; want it to say %s", name, tt.err, tt.says)
		}
	}
	if left, err := os.ReadDir(dir); err != nil || len(left) != 1 {
		t.Errorf("%v is left, %v", left, err)
	}
}

// TestInFolder: whatever an opponent's code is, its file is in the folder, and its own.
func TestInFolder(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{"kes-stress.pdf": "kes-stress.pdf", "a/b-stress.pdf": "a_b-stress.pdf",
		"x/b-stress.pdf": "x_b-stress.pdf", "../../etc/x.pdf": ".._.._etc_x.pdf", `c:\x.pdf`: "c:_x.pdf"} {
		if got := inFolder(name); got != want || filepath.Base(got) != got {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
}

// TestHealth: well is 200 and nothing else; being sent elsewhere is no answer.
func TestHealth(t *testing.T) {
	t.Parallel()
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/moved" {
			http.Redirect(w, r, "/200", http.StatusFound)
			return
		}
		var status int
		fmt.Sscanf(r.URL.Path, "/%d", &status)
		w.WriteHeader(status)
	}))
	defer server.Close()
	for path, says := range map[string]string{"/200": "", "/503": "503", "/204": "204", "/moved": "302"} {
		err := health(context.Background(), []string{"-url", server.URL + path})
		if (err == nil) != (says == "") || err != nil && !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v, want %q", path, err, says)
		}
	}
	for name, args := range map[string][]string{"nobody there": {"-url", "http://127.0.0.1:1/"}, "no address": {"-url",
		":"}} {
		if err := health(context.Background(), args); err == nil {
			t.Errorf("%s is well", name)
		}
	}
}

// TestServeAnswersUntilTheEnd: what is under way when the end comes is answered, after it
// nobody is; what cannot be announced is not served.
func TestServeAnswersUntilTheEnd(t *testing.T) {
	t.Parallel()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, end := context.WithCancel(context.Background())
	begun, told := make(chan struct{}), make(chan string, 1)
	h := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		close(begun)
		<-ctx.Done()
		time.Sleep(20 * time.Millisecond)
		io.WriteString(w, "the rest")
	})
	done := make(chan error, 1)
	go func() {
		done <- serve(ctx, setup.Log(io.Discard), l, 0, h, func(a string) error { told <- a; return nil })
	}()
	address := <-told
	if address != "http://"+l.Addr().String() {
		t.Errorf("it is told as %s", address)
	}
	answer := make(chan string, 1)
	go func() {
		resp, err := http.Get(address)
		if err != nil {
			answer <- err.Error()
			return
		}
		defer resp.Body.Close()
		body, _ := io.ReadAll(resp.Body)
		answer <- string(body)
	}()
	<-begun
	end()
	if err := <-done; err != nil {
		t.Errorf("it ended with %v", err)
	}
	if got := <-answer; got != "the rest" {
		t.Errorf("what was under way got %q", got)
	}
	if _, err := http.Get(address); err == nil {
		t.Error("somebody answers after the end")
	}
	l, err = net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	lost := errors.New("no link")
	if err = serve(context.Background(), setup.Log(io.Discard), l, 0, h,
		func(string) error { return lost }); !errors.Is(err, lost) {
		t.Errorf("nobody could be told: %v", err)
	}
	if _, err := http.Get("http://" + l.Addr().String()); err == nil {
		t.Error("what could not be announced is served")
	}
}

// TestTell: metrics in the format that Prometheus reads, on their own address alone.
func TestTell(t *testing.T) {
	t.Parallel()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	var log bytes.Buffer
	tell(setup.Log(&log), gauges(), l)
	resp, err := http.Get("http://" + l.Addr().String() + "/metrics")
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	if err != nil || !strings.Contains(string(body), "\nprocess_open_fds ") && !strings.Contains(string(body),
		"\ngo_goroutines ") ||
		!strings.Contains(string(body), "\ngo_gc_heap_live_bytes ") || !strings.Contains(log.String(), "/metrics") {
		t.Errorf("%v: %.300s; log %s", err, body, log.String())
	}
	for _, name := range []string{"pictures", "calls", "bytes", "hits_total", "misses_total"} {
		if !strings.Contains(string(body), "\noverhang_boards_"+name+" ") {
			t.Errorf("nothing tells of the boards' %s", name)
		}
	}
	log.Reset()
	if tell(setup.Log(&log), gauges(), nil); log.Len() > 0 {
		t.Errorf("nobody asked for metrics: %s", log.String())
	}
}

// TestStands: a token lets somebody in until it ends or is taken back.
func TestStands(t *testing.T) {
	t.Parallel()
	now := time.Now()
	for name, tt := range map[string]struct {
		token staff.Token
		want  bool
	}{"a new one": {staff.Token{ExpiresAt: now.Add(time.Hour)}, true}, "an old one": {staff.Token{ExpiresAt: now}, false},
		"one taken back": {staff.Token{ExpiresAt: now.Add(time.Hour), RevokedAt: &now}, false}, "none": {staff.Token{},
			false}} {
		if stands(&tt.token) != tt.want {
			t.Errorf("%s stands: %v", name, !tt.want)
		}
	}
}

// TestMostConnections leaves half of the file descriptors to others.
func TestMostConnections(t *testing.T) {
	t.Parallel()
	if n := mostConnections(); n < 1 || n > 8192 {
		t.Errorf("%d connections", n)
	}
}
