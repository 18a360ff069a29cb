package staff

import (
	"errors"
	"math/rand/v2"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/trustelem/zxcvbn"
	"golang.org/x/text/secure/precis"
	"golang.org/x/text/unicode/norm"
)

// Shortest is how many characters a password has at least (NIST SP 800-63B-4
// section 3.1.1.2: 15 where a password is the only factor).
const Shortest = 15

const (
	longestPassword = 1000 // bytes
	judged          = 100  // characters of a password that its guesses are counted of: that takes time by their square
	fewestGuesses   = 1e10 // zxcvbn's line between what a slow hash protects somewhat and what it protects well
)

// canonical is the form of a password that is hashed: keyboards write one character in
// several ways, which look the same (NIST SP 800-63B-4 section 3.1.1.2: NFKC or NFKD).
func canonical(password string) string { return norm.NFKC.String(password) }

// Weak says what is wrong with a password, "" when nothing is. There is no rule
// of kinds of characters: the same source advises against them, and asks for a look at
// common ones instead.
func Weak(password, login string) string {
	p := canonical(password)
	switch {
	case !utf8.ValidString(password):
		return "is no text"
	case strings.ContainsFunc(p, unseen):
		return "holds a character that nobody sees: it could not be typed again"
	case utf8.RuneCountInString(p) < Shortest:
		return "use 15 or more characters; a sentence works"
	case len(password) > longestPassword:
		return "is longer than 1,000 bytes"
	case login != "" && strings.Contains(strings.ToLower(p), strings.ToLower(login)):
		return "holds the login"
	case len(strings.Trim(p, p[:runeLen(p)])) == 0:
		return "is one character over and over"
	case guesses(p, login) < fewestGuesses:
		return "is easily guessed: common words, repeats or rows of keys; a sentence of your own is good"
	}
	return ""
}

func runeLen(s string) int { _, n := utf8.DecodeRuneInString(s); return n }

// unseen finds what shows nothing: controls, zero-width and direction marks, the blank
// letters of Hangul and Braille. A space is seen between others.
func unseen(r rune) bool {
	return unicode.Is(unicode.C, r) || unicode.Is(unicode.Variation_Selector, r) ||
		unicode.Is(unicode.Other_Default_Ignorable_Code_Point, r) || r == '\u2800' || r == '\u2028' || r == '\u2029'
}

// guesses is how many tries somebody needs who knows what people choose.
func guesses(p, login string) float64 {
	if utf8.RuneCountInString(p) > judged {
		p = string([]rune(p)[:judged])
	}
	return zxcvbn.PasswordStrength(p, []string{login}).Guesses
}

// errLogin says what a login may be.
var errLogin = errors.New(
	"needs 1 to 100 letters, digits and signs of one alphabet, without spaces; jo.doe is good")

// Login is the form of a login that is kept and looked up: as RFC 8265 section 3.3 has it
// (width, case and composition are mapped; spaces, symbols and what nobody sees are no part of
// one), with letters of one alphabet only, so that no two logins look alike by mixing them
// (Unicode Technical Standard 39 section 5.2, single script).
func Login(as string) (string, error) {
	out, err := precis.UsernameCaseMapped.String(strings.TrimSpace(as))
	if err != nil || out == "" || len(out) > LongestLogin || mixed(out) {
		return "", errLogin
	}
	return out, nil
}

// LongestLogin is how many bytes a login has at most.
const LongestLogin = 100

// Known is Login for looking up: one that could not be made any more is looked for as it was
// kept once.
func Known(as string) string {
	if out, err := Login(as); err == nil {
		return out
	}
	return strings.ToLower(strings.TrimSpace(as))
}

// together are the alphabets that one language writes in (UTS 39 section 5.1, Jpan, Hanb, Kore).
var together = [][]string{{"Han", "Hiragana", "Katakana"}, {"Han", "Bopomofo"}, {"Han", "Hangul"}}

// mixed reports whether letters of two alphabets stand in a text that no language mixes.
func mixed(s string) bool {
	scripts := map[string]bool{}
	for _, r := range s {
		for name, table := range unicode.Scripts {
			if name != "Common" && name != "Inherited" && unicode.Is(table, r) {
				scripts[name] = true
			}
		}
	}
	if len(scripts) < 2 {
		return false
	}
	for _, set := range together {
		n := 0
		for _, name := range set {
			if scripts[name] {
				n++
			}
		}
		if n == len(scripts) {
			return false
		}
	}
	return true
}

// Apart makes a login of a wish that is unlikely to be anybody's: who holds an open
// invitation is not told by it which logins there are.
func Apart(wish string) (string, error) {
	return Login(wish + "-" + strconv.Itoa(1000+rand.IntN(9000)))
}
