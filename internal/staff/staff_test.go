package staff

import (
	"encoding/base64"
	"strings"
	"testing"

	"golang.org/x/crypto/argon2"
)

// TestPassword takes the stored form apart and computes it again with the
// reference library's function (RFC 9106; golang.org/x/crypto/argon2).
func TestPassword(t *testing.T) {
	const pw = "a long sentence about nothing"
	h, err := HashPassword(pw)
	if err != nil {
		t.Fatal(err)
	}
	parts := strings.Split(h, "$") // "", argon2id, v=19, m=65536,t=3,p=4, salt, key
	if len(parts) != 6 || parts[1] != "argon2id" || parts[2] != "v=19" || parts[3] != "m=65536,t=3,p=4" {
		t.Fatalf("%s", h)
	}
	salt, _ := base64.RawStdEncoding.DecodeString(parts[4])
	want := base64.RawStdEncoding.EncodeToString(argon2.IDKey([]byte(pw), salt, 3, 64*1024, 4, 32))
	if parts[5] != want || len(salt) != 16 {
		t.Errorf("key %s, by the reference library %s", parts[5], want)
	}
	for _, c := range []struct {
		pw, hash string
		ok       bool
	}{{pw, h, true}, {pw + ".", h, false}, {"", h, false}, {pw, "", false}, {pw, "$argon2id$broken", false}} {
		if CheckPassword(c.pw, c.hash) != c.ok {
			t.Errorf("%q against %.12s: want %v", c.pw, c.hash, c.ok)
		}
	}
}

// TestWeak: at least 15 characters, counted as characters, and no rule of kinds
// (NIST SP 800-63B-4 section 3.1.1.2, MEM).
func TestWeak(t *testing.T) {
	for pw, ok := range map[string]bool{
		"fourteen chars": false, "fifteen chars ok": true, "ééééééééééééé": false, "éèéèéèéèéèéèéèé": true,
		"aaaaaaaaaaaaaaaaaaaa": false, "my login is Jo.Doe!": false, strings.Repeat("ab", 501): false,
	} {
		if why := Weak(pw, "jo.doe"); (why == "") != ok {
			t.Errorf("%q: %q", pw, why)
		}
	}
}

func TestReaches(t *testing.T) {
	for i, have := range Roles {
		for k, need := range Roles {
			if have.Reaches(need) != (i >= k) {
				t.Errorf("%s reaches %s: %v", have, need, have.Reaches(need))
			}
		}
	}
	if Owner.Reaches("king") || Role("").Reaches(Reader) || Role("king").Reaches(Reader) {
		t.Error("an unknown role reaches something")
	}
}

func TestSecret(t *testing.T) {
	a, b := NewSecret(), NewSecret()
	if a == b || len(a) != len(tokenMark)+43 || string(Hash(a)) == string(Hash(b)) {
		t.Errorf("secrets %q and %q", a, b)
	}
}
