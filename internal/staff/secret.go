package staff

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"testing"

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

// HashPassword returns the hash of a password's canonical form, in the PHC string form.
func HashPassword(password string) (string, error) {
	slot <- struct{}{}
	defer func() { <-slot }()
	return argon2id.CreateHash(canonical(password), cost)
}

// CheckPassword reports whether a password fits a hash: in its canonical form, or as it is,
// which is how they were hashed before there was one. An empty hash, of a login that nobody
// has, costs as much time and fits nothing.
func CheckPassword(password, hash string) bool {
	slot <- struct{}{}
	defer func() { <-slot }()
	known := hash != ""
	if !known {
		hash = nobody()
	}
	ok, err := argon2id.ComparePasswordAndHash(canonical(password), hash)
	if !ok && err == nil && canonical(password) != password {
		ok, err = argon2id.ComparePasswordAndHash(password, hash)
	}
	return ok && err == nil && known
}

// nobody is a hash of the usual cost that stands for a login nobody has: salt and key are
// random, so that nothing has to be hashed for it when a program starts.
func nobody() string {
	random := func(n uint32) string {
		b := make([]byte, n)
		rand.Read(b)
		return base64.RawStdEncoding.EncodeToString(b)
	}
	return fmt.Sprintf("$argon2id$v=19$m=%d,t=%d,p=%d$%s$%s", cost.Memory, cost.Iterations,
		cost.Parallelism, random(cost.SaltLength), random(cost.KeyLength))
}

// Cheap makes passwords cheap to hash, for tests that sign many people in. It panics
// anywhere else.
func Cheap() {
	if !testing.Testing() {
		panic("staff: cheap passwords are for tests")
	}
	cost = &argon2id.Params{Memory: 64, Iterations: 1, Parallelism: 1, SaltLength: 16, KeyLength: 32}
}
