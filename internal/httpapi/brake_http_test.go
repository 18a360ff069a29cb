package httpapi_test

import (
	"net/url"
	"strings"
	"testing"

	"github.com/google/uuid"

	"overhang/internal/staff"
)

// TestJoinTriesNoPassword: an invitation is no way to guess a known login's password, nor
// to lower a role: the right password and a wrong one are refused in the same words, and
// who has signed in comes in without one.
func TestJoinTriesNoPassword(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	c.person(s, "theirs", "victim", staff.Owner)
	c.person(s, "ours", "head", staff.Owner)
	p, err := s.Program(t.Context(), "ours")
	if err != nil {
		t.Fatal(err)
	}
	invite := func(role staff.Role, login *string) string {
		inv, err := s.Invite(t.Context(), staff.Invitation{Program: uuid.NullUUID{UUID: p.ID, Valid: true}, Role: role,
			Login: login})
		if err != nil {
			t.Fatal(err)
		}
		return inv
	}
	victim := "victim"
	inv, b := invite(staff.Reader, &victim), browse(t, c.url)
	form := url.Values{"invitation": {inv}, "login": {"victim"}, "name": {"x"}, "password": {password}}
	right := b.post(422, "/join", form)
	form.Set("password", "quite another sentence")
	if wrong := b.post(422, "/join", form); wrong != right || !strings.Contains(right, "sign in first") {
		t.Errorf("a wrong password: %s\nthe right one: %s", wrong, right)
	}
	for range 3 {
		b.post(422, "/join", form)
	}
	b.post(429, "/join", form)
	for _, as := range []string{"victim", "VICTIM", "\uff56ictim", " victim "} { // one brake, however it is typed
		b.post(429, "/sign-in", url.Values{"login": {as}, "password": {password}})
	}
	inv = invite(staff.Reader, nil)
	head := browse(t, c.url)
	head.post(200, "/sign-in", url.Values{"login": {"head"}, "password": {password}})
	if page := head.get("/join?invitation=" + inv); !strings.Contains(page, "signed in as head") || strings.Contains(page,
		`type="password"`) {
		t.Errorf("an invitation opened signed in: %s", page)
	}
	head.post(200, "/join", url.Values{"invitation": {inv}})
	if role, err := s.RoleOf(t.Context(), p.ID, must(s.Members(t.Context(), p.ID))[0].ID); role != staff.Owner ||
		err != nil {
		t.Errorf("the sole owner is %s after a reader's invitation: %v", role, err)
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}
