package access

import (
	"crypto/rand"
	"crypto/subtle"
	"fmt"
	"strings"
	"time"

	"github.com/pquerna/otp/hotp"
	"github.com/pquerna/otp/totp"
)

// The second factor is a code of the time by RFC 6238, as the usual
// authenticators have it: SHA-1, six digits, steps of 30 s.
const (
	stepSeconds   = 30
	factorBytes   = 20 // as long as the hash: RFC 4226, section 4, R6
	codeDigits    = 6
	recoveryCodes = 10
	recoveryBytes = 15 // 120 bits need no slow hash: ASVS 5.0.0, 6.5.2
)

// Factor is what an authenticator is told, this once.
type Factor struct {
	Secret  string `json:"secret"`  // base32
	Address string `json:"address"` // the same as otpauth://, to be shown as a picture or opened
}

// NewFactor draws one for an account's name.
func NewFactor(name string) (Factor, error) {
	b := make([]byte, factorBytes)
	rand.Read(b) // never fails, see crypto/rand
	k, err := totp.Generate(totp.GenerateOpts{Issuer: "Hardtack", AccountName: name, Secret: b})
	if err != nil {
		return Factor{}, fmt.Errorf("second factor: %w", err)
	}
	return Factor{Secret: k.Secret(), Address: k.URL()}, nil
}

// StepOf says which time step a code is of: this one, or the one before, since
// a call over a slow link takes seconds (RFC 6238, 5.2, allows one). ok is
// false when it is of neither.
func StepOf(secret, code string, now time.Time) (step int64, ok bool) {
	if len(code) != codeDigits {
		return 0, false
	}
	this := now.Unix() / stepSeconds
	for _, s := range []int64{this, this - 1} {
		want, err := hotp.GenerateCode(secret, uint64(s))
		if err == nil && subtle.ConstantTimeCompare([]byte(want), []byte(code)) == 1 {
			return s, true
		}
	}
	return 0, false
}

// NewRecoveryCodes draws codes for the day the authenticator is lost, shown
// this once, and their sums.
func NewRecoveryCodes() (codes, sums []string) {
	for range recoveryCodes {
		b := make([]byte, recoveryBytes)
		rand.Read(b)
		text := strings.ToLower(letters.EncodeToString(b))
		var groups []string
		for ; text != ""; text = text[4:] { // 24 letters
			groups = append(groups, text[:4])
		}
		code := strings.Join(groups, "-")
		codes, sums = append(codes, code), append(sums, RecoverySum(code))
	}
	return codes, sums
}

// RecoverySum is what is kept of a recovery code, however its letters are typed.
func RecoverySum(code string) string {
	return SumOf(strings.ToLower(strings.NewReplacer("-", "", " ", "").Replace(code)))
}
