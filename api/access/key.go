// Package access decides who may do what on a shared server: keys and
// passwords, roles and scopes, and how often. It keeps nothing and knows no
// HTTP; a boat's own server needs none of it.
package access

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base32"
	"encoding/hex"
	"strings"
)

// Secret is something random that is shown once. Only its Sum is kept; the
// prefix tells it from others and is no secret.
type Secret struct {
	Text   string // "ht_abcd2345_…"
	Prefix string
	Sum    string // SHA-256 in hexadecimal: 256 random bits need no slow hash
}

const (
	mark        = "ht"
	prefixBytes = 5  // 8 letters
	secretBytes = 32 // 256 bits
)

var letters = base32.StdEncoding.WithPadding(base32.NoPadding)

// NewSecret draws one.
func NewSecret() Secret {
	b := make([]byte, prefixBytes+secretBytes)
	rand.Read(b) // never fails, see crypto/rand
	prefix := strings.ToLower(letters.EncodeToString(b[:prefixBytes]))
	text := mark + "_" + prefix + "_" + strings.ToLower(letters.EncodeToString(b[prefixBytes:]))
	return Secret{text, prefix, SumOf(text)}
}

// SumOf is what is kept of a secret.
func SumOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:])
}

// PrefixOf is a secret's prefix; ok is false when it has not the form of one.
func PrefixOf(text string) (prefix string, ok bool) {
	parts := strings.Split(text, "_")
	if len(parts) != 3 || parts[0] != mark || len(parts[1]) != 8 || len(parts[2]) != 52 {
		return "", false
	}
	return parts[1], true
}

// Fits says whether a secret has the sum, in a time that does not tell how
// nearly.
func Fits(text, sum string) bool {
	return subtle.ConstantTimeCompare([]byte(SumOf(text)), []byte(sum)) == 1
}
