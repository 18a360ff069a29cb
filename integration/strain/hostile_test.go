package strain

import (
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/uuid"

	"overhang/api"
	"overhang/integration/madeup"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

var (
	hostileRequests = flag.Int("hostile", 1500, "how many made-up requests TestHostile sends")
	hostileSeed     = flag.Uint64("hostile-seed", 1, "of TestHostile")
)

const (
	patience  = 5 * time.Second // that an answer may take
	memory    = 1 << 30         // bytes that the process may have
	hostilePw = "a quiet walk to the far hill"
)

// A visitor sends requests as a guest, by a token, a session or nothing.
type visitor struct {
	madeup.Guest
	token, cookie string
}

// TestHostile sends requests made up by the document, over people of every role by token and by
// session, a stranger, a forged token and nobody, eight at once, to the built server: brakes
// open, the collector told 1 GB (GOMEMLIMIT), and the largest resident size looked at. No answer
// is a 5xx but 503, none takes more than 5 s, nobody is served above his role, and the process
// that began is the one that ends. The whole suite is make hostile.
func TestHostile(t *testing.T) {
	r := newRig(t, folder(t))
	r.flags = []string{"-no-brakes-for-tests"}
	r.serve("GOMEMLIMIT=1GiB")
	visitors, words := r.visitors()
	ops, err := madeup.Operations(api.Document)
	if err != nil {
		t.Fatal(err)
	}
	begun, pid := time.Now(), r.server.pid()
	h := &hostile{t: t, r: r, ops: ops, visitors: visitors, statuses: map[int]int{}}
	var wg sync.WaitGroup
	const at = 8
	for k := range at {
		g := &madeup.Maker{R: rand.New(rand.NewPCG(*hostileSeed, uint64(k))), Words: words}
		wg.Go(func() { h.send(g, *hostileRequests/at) })
	}
	wg.Wait()
	most := r.server.most()
	t.Logf("seed %d: %d requests over %d operations as %d visitors in %v: %v; the longest %v (%s); %d MB at most",
		*hostileSeed, *hostileRequests/at*at, len(ops), len(visitors), time.Since(begun).Round(time.Second), h.statuses,
		h.longest.Round(time.Millisecond), h.what, most>>20)
	if r.server.pid() != pid || pid == 0 {
		t.Errorf("the server was started again: process %d, now %d", pid, r.server.pid())
	}
	if most > memory {
		t.Errorf("the server had %d MB", most>>20)
	}
	if good := h.statuses[200] + h.statuses[201] + h.statuses[204]; good*20 < *hostileRequests {
		t.Errorf("only %d of %d were answered: the values made up are too wild to reach the code", good, *hostileRequests)
	}
}

// A hostile crowd and what it met.
type hostile struct {
	t        *testing.T
	r        *rig
	ops      []madeup.Operation
	visitors []visitor
	turn     atomic.Int64
	mu       sync.Mutex
	statuses map[int]int
	longest  time.Duration
	what     string // took longest
}

// send sends n requests, one after the other.
func (h *hostile) send(g *madeup.Maker, n int) {
	c := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	for range n {
		o := &h.ops[int(h.turn.Add(1))%len(h.ops)]
		method, path, body, header := g.Request(o)
		who := h.visitors[g.R.IntN(len(h.visitors))]
		req, err := http.NewRequest(method, h.r.url+path, strings.NewReader(body))
		if err != nil {
			continue // no address
		}
		for i := 0; i+1 < len(header); i += 2 {
			req.Header.Set(header[i], header[i+1])
		}
		if who.token != "" {
			req.Header.Set("Authorization", "Bearer "+who.token)
		}
		if who.cookie != "" {
			req.Header.Set("Cookie", who.cookie)
		}
		begun := time.Now()
		resp, err := c.Do(req)
		if err != nil {
			h.t.Errorf("%s %s as %q: %v", method, path, who.Role, err)
			continue
		}
		raw, _ := io.ReadAll(resp.Body)
		resp.Body.Close()
		h.count(o, who, method, path, body, resp.StatusCode, string(raw), time.Since(begun))
	}
}

func (h *hostile) count(o *madeup.Operation, who visitor, method, path, body string, status int, raw string,
	took time.Duration) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.statuses[status]++
	if took > h.longest {
		h.longest, h.what = took, fmt.Sprint(method, " ", o.Path, " ", status)
	}
	if what := o.Wrong(who.Guest, path, status); what != "" {
		h.t.Errorf("-hostile-seed %d, as %q: %s %s %.2000s: %d, %s: %.500s", *hostileSeed, who.Role, method, path, body,
			status, what, raw)
	}
	if took > patience {
		h.t.Errorf("-hostile-seed %d, as %q: %s %s %.2000s: %d after %v", *hostileSeed, who.Role, method, path, body, status,
			took)
	}
}

// visitors makes the people who send requests, and what their requests may name.
func (r *rig) visitors() (out []visitor, words []string) {
	r.t.Helper()
	ctx := r.t.Context()
	store := r.store()
	defer store.Close()
	for _, role := range staff.Roles {
		out = append(out, visitor{madeup.Guest{Role: role, Known: true}, r.tokens(role, 1)[0], ""},
			visitor{madeup.Guest{Role: role, Known: true}, "", r.session(store, "by-"+string(role), role)})
	}
	other, err := store.EnsureProgram(ctx, tags.Program{Code: "theirs", Name: "Others", Level: "college", Invented: true})
	if err != nil {
		r.t.Fatal(err)
	}
	mine := r.program
	r.program = other
	out = append(out, visitor{madeup.Guest{Known: true}, r.tokens(staff.Owner, 1)[0], ""}, visitor{},
		visitor{madeup.Guest{}, "overhang_" + strings.Repeat("x", 43), ""})
	r.program = mine
	return out, r.words(out[len(staff.Roles)*2-2].token)
}

// session signs somebody in who joins by an invitation, and returns the cookie.
func (r *rig) session(store *postgres.Store, login string, role staff.Role) string {
	r.t.Helper()
	inv, err := store.Invite(r.t.Context(), staff.Invitation{Program: uuid.NullUUID{UUID: r.program.ID, Valid: true},
		Login: &login, Role: role})
	if err == nil {
		_, err = store.Accept(r.t.Context(), inv, "", login, hostilePw, nil)
	}
	if err != nil {
		r.t.Fatal(err)
	}
	c := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	resp, err := c.PostForm(r.url+"/sign-in", url.Values{"login": {login}, "password": {hostilePw}})
	if err != nil || len(resp.Cookies()) != 1 {
		r.t.Fatalf("signing in as %s: %v %v", login, resp, err)
	}
	resp.Body.Close()
	return resp.Cookies()[0].Name + "=" + resp.Cookies()[0].Value
}

// words fills the program with a little of everything and lists what may be named.
func (r *rig) words(owner string) []string {
	out := []string{"ours", "o1", "smash", "2x2", "hitch", "cover 1", "hostile 0"}
	games := r.games("hostile", 2)
	post := func(path, body string) string {
		status, raw := ask(http.DefaultClient, owner, "POST", r.url+"/v1/programs/ours"+path, []byte(body))
		if status != http.StatusCreated {
			r.t.Fatalf("POST %s %s: %d %s", path, body, status, raw)
		}
		return string(raw)
	}
	for i := range 24 {
		post("/plays", fmt.Sprintf(`{"game_id":"%s","number":%d,"status":"counted","down":%d,"distance_yd":7,`+
			`"called":"pass","family":"dropback","concept":"smash","set_name":"2x2","play_side":"left","gain_yd":8,`+
			`"routes":[{"side":"left","number":1,"eligible":"receiver","route":"hitch","break_depth_yd":6}]}`, games[i%2], i+1,
			1+i%4))
	}
	post("/films", fmt.Sprintf(`{"game_id":"%s","location":"a.mp4"}`, games[0]))
	for _, n := range []string{"opponents", "games", "plays", "words", "films"} {
		_, raw := ask(http.DefaultClient, owner, "GET", r.url+"/v1/programs/ours/"+n, nil)
		ids := regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f-]{27}`).FindAllString(string(raw), 20)
		slices.Sort(ids)
		out = append(out, slices.Compact(ids)...)
	}
	return out
}

// pid is the process's that runs now.
func (p *program) pid() int {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.cmd == nil || p.cmd.Process == nil {
		return 0
	}
	return p.cmd.Process.Pid
}

// most is the largest resident size that the process had, in bytes.
func (p *program) most() (bytes int64) {
	raw, _ := os.ReadFile(filepath.Join("/proc", fmt.Sprint(p.pid()), "status"))
	for _, line := range strings.Split(string(raw), "\n") {
		var kB int64
		if n, _ := fmt.Sscanf(line, "VmHWM: %d kB", &kB); n == 1 {
			return kB << 10
		}
	}
	return 0
}
