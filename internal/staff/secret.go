package staff

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"strings"
	"unicode/utf8"

	"github.com/alexedwards/argon2id"
)

// tokenMark begins a token's secret, so that a leaked one is recognized.
const tokenMark = "overhang_"

// NewSecret makes 256 random bits to be shown once.
func NewSecret() string {
	b := make([]byte, 32)
	rand.Read(b) // never fails: it ends the program instead
	return tokenMark + base64.RawURLEncoding.EncodeToString(b)
}

// Hash is what is kept of a secret. It has full entropy, so a fast hash is
// enough; passwords go through HashPassword.
func Hash(secret string) []byte {
	h := sha256.Sum256([]byte(secret))
	return h[:]
}

// Passwords are hashed by argon2id, the second choice of RFC 9106 section 4:
// 64 MiB, 3 passes, 4 lanes. Two at a time, so that a flood of sign-ins cannot
// take the machine's memory.
var (
	cost = &argon2id.Params{Memory: 64 * 1024, Iterations: 3, Parallelism: 4, SaltLength: 16, KeyLength: 32}
	slot = make(chan struct{}, 2)
)

// HashPassword returns the hash in the PHC string form.
func HashPassword(password string) (string, error) {
	slot <- struct{}{}
	defer func() { <-slot }()
	return argon2id.CreateHash(password, cost)
}

// CheckPassword says whether a password fits a hash. An empty hash, of a login
// that nobody has, costs as much time and fits nothing.
func CheckPassword(password, hash string) bool {
	slot <- struct{}{}
	defer func() { <-slot }()
	known := hash != ""
	if !known {
		hash = nobody
	}
	ok, err := argon2id.ComparePasswordAndHash(password, hash)
	return ok && err == nil && known
}

// nobody is a hash of the usual cost that stands for a login nobody has.
var nobody, _ = argon2id.CreateHash(NewSecret(), cost)

// Shortest is how many characters a password has at least (NIST SP 800-63B-4
// section 3.1.1.2: 15 where a password is the only factor).
const Shortest = 15

// Weak says what is wrong with a password, "" when nothing is. There is no rule
// of kinds of characters: the same source advises against them.
func Weak(password, login string) string {
	switch n := utf8.RuneCountInString(password); {
	case n < Shortest:
		return "needs at least 15 characters; a sentence is good"
	case len(password) > 1000:
		return "is longer than 1,000 bytes"
	case login != "" && strings.Contains(strings.ToLower(password), strings.ToLower(login)):
		return "holds the login"
	case len(strings.Trim(password, password[:1])) == 0:
		return "is one character over and over"
	}
	return ""
}
