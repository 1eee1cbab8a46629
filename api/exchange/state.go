package exchange

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"hardtack/pricing"
)

// Hasher sums up a set of facts: the same set gives the same sum, in whatever
// order it was added. It adds the facts' own SHA-256 modulo 2^256 (Bellare and
// Micciancio's AdHash, EUROCRYPT 1997, from memory): good against accidents,
// not against an adversary.
type Hasher struct {
	sum [32]byte
}

// Add adds a fact; each must be added once.
func (h *Hasher) Add(r pricing.Report) {
	one := sha256.Sum256(fmt.Appendf(nil, "%q %q %q %s %q %d %q %d %q %q %q %d %q %q %q", r.ID, r.Port, r.Item, r.Day, r.Found,
		r.Paid.Minor, r.Paid.Currency, r.Pack, r.Shop, r.Reporter, r.Source, r.Quality, r.Origin, r.Note, r.Replaces))
	carry := 0
	for i := len(one) - 1; i >= 0; i-- {
		carry += int(h.sum[i]) + int(one[i])
		h.sum[i] = byte(carry)
		carry >>= 8
	}
}

// Sum is the sum so far, in hexadecimal.
func (h *Hasher) Sum() string { return hex.EncodeToString(h.sum[:]) }
