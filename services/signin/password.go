package signin

import (
	"crypto/rand"
	"crypto/subtle"
	_ "embed"
	"encoding/base64"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"
	"golang.org/x/text/unicode/norm"
)

// Params are the costs of argon2id. They are stored with every hash, so that they can be raised: a password is hashed anew
// at the next sign-in after they changed.
type Params struct {
	MemoryKiB uint32
	Passes    uint32
	Lanes     uint8
}

// DefaultParams are the second recommended option of RFC 9106, section 4: 64 MiB, three passes, four lanes.
func DefaultParams() Params { return Params{MemoryKiB: 64 << 10, Passes: 3, Lanes: 4} }

// Lengths in bytes, RFC 9106, section 4.
const (
	saltBytes = 16
	hashBytes = 32
)

// hash writes salt, costs and hash in the string format that is in common use for argon2id:
// $argon2id$v=19$m=65536,t=3,p=4$salt$hash.
func (p Params) hash(password string) string {
	salt := random(saltBytes)
	key := argon2.IDKey(normal(password), salt, p.Passes, p.MemoryKiB, p.Lanes, hashBytes)
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, p.MemoryKiB, p.Passes, p.Lanes, b64.EncodeToString(salt), b64.EncodeToString(key))
}

var b64 = base64.RawStdEncoding

// stored is a hash read back.
type stored struct {
	Params
	salt, key []byte
}

var errBadHash = errors.New("not a hash of a password")

func readHash(text string) (stored, error) {
	var s stored
	part := strings.Split(text, "$")
	if len(part) != 6 || part[0] != "" || part[1] != "argon2id" || part[2] != fmt.Sprintf("v=%d", argon2.Version) {
		return s, errBadHash
	}
	if n, err := fmt.Sscanf(part[3], "m=%d,t=%d,p=%d", &s.MemoryKiB, &s.Passes, &s.Lanes); n != 3 || err != nil {
		return s, errBadHash
	}
	var err error
	if s.salt, err = b64.DecodeString(part[4]); err != nil {
		return s, errBadHash
	}
	if s.key, err = b64.DecodeString(part[5]); err != nil {
		return s, errBadHash
	}
	// A damaged record must not ask for all the memory there is.
	if s.Passes < 1 || s.Lanes < 1 || s.MemoryKiB > 1<<20 || s.Passes > 100 || len(s.salt) < 8 || len(s.key) < 16 || len(s.key) > 64 {
		return s, errBadHash
	}
	return s, nil
}

// is compares in a time that does not depend on where they differ.
func (s stored) is(password string) bool {
	key := argon2.IDKey(normal(password), s.salt, s.Passes, s.MemoryKiB, s.Lanes, uint32(len(s.key)))
	return subtle.ConstantTimeCompare(key, s.key) == 1
}

// normal makes the same password of what looks the same, however the keyboard composed it (RFC 8265, OpaqueString: NFC).
func normal(password string) []byte { return norm.NFC.Bytes([]byte(password)) }

// Lengths of a password in characters. A password that is the only factor has at least 15 (NIST SP 800-63B-4, 3.1.1.2);
// there is no other rule about which characters it holds.
const (
	MinPassword = 15
	MaxPassword = 256
)

//go:embed common.txt
var commonText string

// CheckPassword says in words why a password will not do. about are the words that anybody would try for this person: the
// name to sign in with, the name, the program's.
func CheckPassword(password string, about ...string) error {
	plain := string(normal(password))
	switch n := utf8.RuneCountInString(plain); {
	case !utf8.ValidString(password):
		return errors.New("the password holds something that is not text")
	case n < MinPassword:
		return fmt.Errorf("the password has %d characters; it needs at least %d: a few words that do not belong together are easy to keep in mind", n, MinPassword)
	case n > MaxPassword:
		return fmt.Errorf("the password has more than %d characters", MaxPassword)
	}
	bare := bareOf(plain)
	if guessable(bare) || slices.Contains(strings.Fields(commonText), bare) {
		return errors.New("the password is one of those that are tried first: choose another")
	}
	for _, word := range about {
		if w := bareOf(word); len(w) >= 3 && len(strings.ReplaceAll(bare, w, "")) < 8 {
			return fmt.Errorf("the password is hardly more than %q: choose another", word)
		}
	}
	return nil
}

// bareOf is a text without case and without what is put between words.
func bareOf(text string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case ' ', '-', '_', '.', ',', '!', '?':
			return -1
		}
		return r
	}, strings.ToLower(text))
}

// guessable: a short piece again and again, or a row of the keyboard or the alphabet.
func guessable(bare string) bool {
	for n := 1; n <= 4 && n < len(bare); n++ {
		if strings.Repeat(bare[:n], len(bare)/n+1)[:len(bare)] == bare {
			return true
		}
	}
	for _, row := range []string{"abcdefghijklmnopqrstuvwxyz", "0123456789", "1234567890", "qwertyuiopasdfghjklzxcvbnm"} {
		if strings.Contains(strings.Repeat(row, 4), bare) {
			return true
		}
	}
	return false
}

func random(n int) []byte {
	b := make([]byte, n)
	_, _ = rand.Read(b) // never fails: crypto/rand ends the program instead
	return b
}
