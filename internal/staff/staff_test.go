package staff

import (
	"encoding/base64"
	"strings"
	"testing"

	"github.com/alexedwards/argon2id"
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

// TestWeak: at least 15 characters, counted as characters, no rule of kinds, and a look at what
// is common (NIST SP 800-63B-4 section 3.1.1.2, MEM).
func TestWeak(t *testing.T) {
	for pw, ok := range map[string]bool{
		"fourteen chars": false, "fifteen chars ok": true, "ééééééééééééé": false, "éèéèéèéèéèéèéèé": true,
		"aaaaaaaaaaaaaaaaaaaa": false, "my login is Jo.Doe!": false, strings.Repeat("ab", 501): false,
		"password1234567": false, "qwertyuiopasdfgh": false, "abcabcabcabcabcabc": false, "iloveyouiloveyou": false,
		"1q2w3e4r5t6y7u8i": false, "passwordpassword": false, "ｐａｓｓｗｏｒｄ１２３４５６７": false,
		strings.Repeat("\u200b", 15): false, "a quiet walk\u200b home": false, "\u202ea quiet walk home": false,
		strings.Repeat("é", 20): false, "a quiet walk\x00 home": false, "a quiet \xff walk home": false,
		"дорога ведёт на холм": true, "the 💥 on the hill": true, "une forêt très calme": true,
	} {
		if why := Weak(pw, "jo.doe"); (why == "") != ok {
			t.Errorf("%q: %q", pw, why)
		}
	}
}

// TestCanonical: a password fits however a keyboard composes it (NFKC, Unicode Standard
// Annex 15), and one that was hashed as it was typed fits still.
func TestCanonical(t *testing.T) {
	h, err := HashPassword("une fore\u0302t tre\u0300s calme")
	if err != nil {
		t.Fatal(err)
	}
	old, err := argon2id.CreateHash("une fore\u0302t tre\u0300s calme", cost)
	if err != nil {
		t.Fatal(err)
	}
	if !CheckPassword("une forêt très calme", h) || !CheckPassword("ｕｎｅ forêt très calme", h) {
		t.Error("another way of writing the same password does not fit")
	}
	if !CheckPassword("une fore\u0302t tre\u0300s calme", old) || CheckPassword("une foret tres calme", h) {
		t.Error("one hashed as it was typed does not fit, or another does")
	}
}

// TestLogin: width, case and composition are mapped, what nobody sees and mixed alphabets are
// refused (RFC 8265 section 3.3 with its examples, MEM; UTS 39 section 5).
func TestLogin(t *testing.T) {
	for as, want := range map[string]string{
		"jo.doe": "jo.doe", " Jo.Doe ": "jo.doe", "ｊｏ": "jo", "jo@home.example": "jo@home.example", "jose\u0301": "josé",
		"иван": "иван", "山田たろう": "山田たろう", "jo-1": "jo-1",
		"": "", "jo doe": "", "jo\u200bdoe": "", "jo\u202edoe": "", "jo\x00": "", "jo\xff": "", "j\u043e": "", "раypal": "",
		"jo💥": "", "henry\u2163": "", strings.Repeat("x", 101): "", "\u2800": "", "\u3164jo": "",
	} {
		if got, err := Login(as); got != want || (err == nil) != (want != "") {
			t.Errorf("%q: %q, %v; want %q", as, got, err, want)
		}
	}
	if got, err := Apart("jo"); err != nil || len(got) != len("jo-1234") || !strings.HasPrefix(got, "jo-") {
		t.Errorf("%q, %v", got, err)
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

// TestNobody: a login that nobody has is hashed for as a known one is, with the same
// parameters, and nothing fits it.
func TestNobody(t *testing.T) {
	h, err := HashPassword("correct horse battery staple")
	if err != nil {
		t.Fatal(err)
	}
	known, _, _, err := argon2id.DecodeHash(h)
	if err != nil {
		t.Fatal(err)
	}
	if params, salt, key, err := argon2id.DecodeHash(nobody()); err != nil || *params != *known || len(salt) != 16 ||
		len(key) != 32 {
		t.Errorf("nobody's hash: %v, %d bytes of salt, %d of key, %v; want %v, 16 and 32", params, len(salt), len(key), err,
			known)
	}
	if other := nobody(); other == nobody() || CheckPassword("correct horse battery staple", "") {
		t.Error("nobody has a password")
	}
}
