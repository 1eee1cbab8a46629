package access

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"
)

// Cost of a password, as OWASP's Password Storage Cheat Sheet has it for
// argon2id (from memory): 19 MiB, two passes, one thread.
const (
	costKiB    = 19 * 1024
	costPasses = 2
	saltBytes  = 16
	hashBytes  = 32
)

// Bounds of a password in characters. OWASP ASVS 5.0 wants at least 8 allowed
// and 64 possible; there is no rule about which characters (from memory).
const (
	minPassword = 10
	maxPassword = 128
)

// ErrPassword is a password that is too short, too long, or one that everybody
// tries first.
var ErrPassword = errors.New("want a password of 10 to 128 characters that is not among the commonest")

// common are passwords of ten letters and more that lists of leaked ones begin
// with (from memory).
var common = []string{
	"1234567890", "0123456789", "12345678910", "qwertyuiop", "password123", "password1234", "passwort123", "iloveyou123",
	"1q2w3e4r5t", "1qaz2wsx3edc", "administrator", "letmein1234", "welcome1234", "qwerty12345", "hardtack123",
}

// HashPassword gives what is kept of a password, with cost and salt.
func HashPassword(password string) (string, error) {
	n := utf8.RuneCountInString(password)
	if n < minPassword || n > maxPassword || !utf8.ValidString(password) || commonest(password) {
		return "", ErrPassword
	}
	salt := make([]byte, saltBytes)
	rand.Read(salt)
	return hashed(password, salt), nil
}

func commonest(password string) bool {
	first, _ := utf8.DecodeRuneInString(password)
	if strings.Trim(password, string(first)) == "" {
		return true
	}
	for _, c := range common {
		if strings.EqualFold(password, c) {
			return true
		}
	}
	return false
}

func hashed(password string, salt []byte) string {
	key := argon2.IDKey([]byte(password), salt, costPasses, costKiB, 1, hashBytes)
	enc := base64.RawStdEncoding
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=1$%s$%s", argon2.Version, costKiB, costPasses, enc.EncodeToString(salt), enc.EncodeToString(key))
}

// CheckPassword says whether a password is the one that is kept. It takes as
// long when none is kept, so that the time does not tell which names exist.
func CheckPassword(password, kept string) bool {
	var version, memory, passes int
	parts := strings.Split(kept, "$")
	ok := len(parts) == 6 && parts[1] == "argon2id"
	if ok {
		_, err := fmt.Sscanf(parts[2]+" "+parts[3], "v=%d m=%d,t=%d,p=1", &version, &memory, &passes)
		ok = err == nil && version == argon2.Version && memory >= 8 && memory <= 1<<20 && passes >= 1 && passes <= 10
	}
	if !ok {
		hashed(password, make([]byte, saltBytes))
		return false
	}
	salt, err1 := base64.RawStdEncoding.DecodeString(parts[4])
	want, err2 := base64.RawStdEncoding.DecodeString(parts[5])
	if err1 != nil || err2 != nil || len(want) != hashBytes {
		return false
	}
	got := argon2.IDKey([]byte(password), salt, uint32(passes), uint32(memory), 1, hashBytes)
	return subtle.ConstantTimeCompare(got, want) == 1
}
