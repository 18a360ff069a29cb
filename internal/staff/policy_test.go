package staff

import (
	"encoding/base64"
	"encoding/hex"
	"strings"
	"testing"
)

// TestHash is SHA-256: the first example of FIPS 180-2, appendix B.1, MEM.
func TestHash(t *testing.T) {
	t.Parallel()
	if got := hex.EncodeToString(Hash("abc")); got != "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad" {
		t.Errorf("abc: %s", got)
	}
}

// TestNewSecret: the mark and 256 bits that an address can carry as they are (RFC 4648, 5),
// no two alike.
func TestNewSecret(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for range 1000 {
		s := NewSecret()
		raw, err := base64.RawURLEncoding.DecodeString(strings.TrimPrefix(s, tokenMark))
		if err != nil || len(raw) != 32 || !strings.HasPrefix(s, tokenMark) || seen[s] {
			t.Fatalf("%s: %d bytes, %v, seen before %v", s, len(raw), err, seen[s])
		}
		seen[s] = true
	}
}

// TestWeakSaysWhatIsWrong: each reason in its own words, and at the edges of each bound.
func TestWeakSaysWhatIsWrong(t *testing.T) {
	t.Parallel()
	quiet := "Otters juggle seventeen marmalade clocks. "
	for password, why := range map[string]string{
		"":                               "15 or more",
		"Otters juggle!":                 "15 or more", // 14 characters
		"a\xffb otters juggle clocks":    "no text",
		"otters\u00adjuggle clocks":      "nobody sees",
		"otters juggle clocks\t":         "nobody sees",
		"otters\u3164juggle clocks":      "nobody sees",
		"otters juggle\ufe0f clocks":     "nobody sees",
		"Otters by JO.DOE juggle":        "holds the login",
		"ｊｏ．ｄｏｅ juggles otters":          "holds the login",
		strings.Repeat("z", 15):          "over and over",
		"qwertyqwertyqwerty":             "easily guessed",
		"baseballbaseball":               "easily guessed",
		strings.Repeat(quiet, 30)[:1001]: "longer than 1,000",
		strings.Repeat(quiet, 30)[:1000]: "",
		"Otters juggle 17 clocks":        "",
		"семнадцать часов из мармелада":      "",
		"otters  juggle   marmalade   clock": "",
	} {
		got := Weak(password, "jo.doe")
		if why == "" && got != "" || !strings.Contains(got, why) {
			t.Errorf("%.40q: %q, want %q", password, got, why)
		}
	}
	if got := Weak("Otters juggle 17 clocks", ""); got != "" {
		t.Errorf("a guest without a login yet: %q", got)
	}
}

// TestWeakLooksAtTheWholeForTheLogin, though only its beginning is weighed.
func TestWeakLooksAtTheWholeForTheLogin(t *testing.T) {
	t.Parallel()
	long := strings.Repeat("Otters juggle marmalade. ", 20) + "jo.doe"
	if got := Weak(long, "jo.doe"); !strings.Contains(got, "holds the login") {
		t.Errorf("the login after %d characters: %q", len(long)-6, got)
	}
}

// TestKnown: a login is found however it is typed; one that could not be made any more is
// looked for as it was kept, in small letters.
func TestKnown(t *testing.T) {
	t.Parallel()
	for as, want := range map[string]string{"Jo.Doe": "jo.doe", "ＪＯ": "jo", " jo ": "jo", "Jo Doe": "jo doe",
		"": "", "JO\u200bE": "jo\u200be"} {
		if got := Known(as); got != want {
			t.Errorf("%q: %q, want %q", as, got, want)
		}
	}
	// RFC 8265, 3.3: mapping twice changes nothing
	for _, as := range []string{"Jo.Doe", "ＪＯ", "josé", "иван", "Strasse"} {
		once, err := Login(as)
		if twice, again := Login(once); err != nil || again != nil || once != twice {
			t.Errorf("%q: %q, then %q", as, once, twice)
		}
	}
}

// TestLoginLength: 100 bytes at most, after the mapping.
func TestLoginLength(t *testing.T) {
	t.Parallel()
	for as, ok := range map[string]bool{strings.Repeat("x", 100): true, strings.Repeat("x", 101): false,
		strings.Repeat("é", 50): true, strings.Repeat("é", 51): false, strings.Repeat("ｘ", 100): true} {
		if got, err := Login(as); (err == nil) != ok {
			t.Errorf("%d bytes: %q, %v", len(as), got, err)
		}
	}
	if got, err := Apart(strings.Repeat("x", 96)); err == nil {
		t.Errorf("a wish with no room for four digits became %q", got)
	}
	if _, err := Apart("jo doe"); err == nil {
		t.Error("a wish that is no login was taken")
	}
}
