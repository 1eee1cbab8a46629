package access

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
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

// Bounds of a password in characters. OWASP ASVS 5.0.0 wants at least 8 (6.2.1),
// 64 possible (6.2.9) and no rule about which characters (6.2.5).
const (
	minPassword = 10
	maxPassword = 128
)

// ErrPassword is a password that is too short, too long, or one that is tried
// first.
var ErrPassword = errors.New("want a password of 10 to 128 characters that is not among the commonest, with 8 characters beside the account's name and words of this server")

// HashPassword gives what is kept of a password, with cost and salt. Words are
// those that say whose it is: see context.go.
func HashPassword(password string, words ...string) (string, error) {
	n := utf8.RuneCountInString(password)
	if n < minPassword || n > maxPassword || !utf8.ValidString(password) || oneLetter(password) || leaked(password) || bare(password, words) {
		return "", ErrPassword
	}
	return hashed(password, salt()), nil
}

// TemporaryPassword draws a password that ends by itself, for somebody who
// forgot theirs: text is shown once.
func TemporaryPassword(ends time.Time) (text, kept string) {
	text = NewSecret().Text
	return text, fmt.Sprint(ends.UnixMilli()) + hashed(text, salt())
}

// EndOfPassword is when a password that is kept ends; ok is false for one that
// does not.
func EndOfPassword(kept string) (ends time.Time, ok bool) {
	before, _, _ := strings.Cut(kept, "$")
	ms, err := strconv.ParseInt(before, 10, 64)
	return time.UnixMilli(ms), err == nil
}

func oneLetter(password string) bool {
	first, _ := utf8.DecodeRuneInString(password)
	return strings.Trim(password, string(first)) == ""
}

func salt() []byte {
	b := make([]byte, saltBytes)
	rand.Read(b) // never fails, see crypto/rand
	return b
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
