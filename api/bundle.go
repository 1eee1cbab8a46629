package api

import (
	"context"
	"crypto/ed25519"
	"crypto/rand"
	"encoding/base64"
	"errors"
	"fmt"
	"io"

	"hardtack/api/exchange"
	"hardtack/db"
)

// ErrStranger is a file signed by another key than the same boat's files
// before.
var ErrStranger = errors.New("signed by another key than before")

const (
	factSigning = "signing key"
	factKnown   = "key of " // and a source
)

// Bundled says what a file holds.
type Bundled struct {
	Records int    `json:"records"`
	More    bool   `json:"more"` // the file is full; write the next one
	Key     string `json:"key"`  // that signed it, to be compared by voice
}

// maxBundle is how many records one file holds.
const maxBundle = 20_000

// WriteBundle writes a file of records for mail or a stick: what was entered
// here, or all that is known. With a receiver's name it goes on after the last
// file for that one.
func (s *Service) WriteBundle(ctx context.Context, w io.Writer, receiver string, all bool) (Bundled, error) {
	p, err := s.party(ctx)
	if err != nil {
		return Bundled{}, err
	}
	key, err := s.signingKey(ctx)
	if err != nil {
		return Bundled{}, err
	}
	peer := db.Peer{ID: "file for " + receiver}
	if receiver != "" {
		if peer, err = s.peer(ctx, peer.ID); err != nil {
			return Bundled{}, err
		}
	}
	records, upTo, err := p.Gather(ctx, peer.Pushed, all, maxBundle)
	if err != nil {
		return Bundled{}, err
	}
	if err := p.Bundle(w, key, records); err != nil {
		return Bundled{}, fmt.Errorf("write records: %w", err)
	}
	if peer.Pushed = upTo; receiver != "" {
		peer.AtMs = s.now().UnixMilli()
		if _, err := s.db.TakeRecords(ctx, nil, db.Arrival{Peer: peer}); err != nil {
			return Bundled{}, err
		}
	}
	return Bundled{len(records), len(records) == maxBundle, fingerprint(key.Public().(ed25519.PublicKey))}, nil
}

func (s *Service) peer(ctx context.Context, id string) (db.Peer, error) {
	p, err := s.db.Peer(ctx, id)
	if isNotFound(err) {
		return db.Peer{ID: id}, nil
	}
	return p, err
}

// ReadBundle takes the records of a file. The first file of a boat makes its
// key known; one signed by another key is ErrStranger and changes nothing.
// Other errors: exchange.ErrUnreadable, exchange.ErrForged.
func (s *Service) ReadBundle(ctx context.Context, r io.Reader) (exchange.Done, Bundled, error) {
	p, err := s.party(ctx)
	if err != nil {
		return exchange.Done{}, Bundled{}, err
	}
	b, err := p.Codec.Unbundle(r)
	if err != nil {
		return exchange.Done{}, Bundled{}, err
	}
	key := base64.RawStdEncoding.EncodeToString(b.Key)
	known, err := s.db.MetaOr(ctx, factKnown+b.From, key)
	if err != nil {
		return exchange.Done{}, Bundled{}, err
	}
	if known != key {
		return exchange.Done{}, Bundled{}, fmt.Errorf("records of %s: %w; nothing was changed", b.From, ErrStranger)
	}
	done, err := p.TakeBundle(ctx, b, b.From)
	return done, Bundled{Records: len(b.Records), Key: fingerprint(b.Key)}, err
}

// signingKey is this database's own, made when first needed.
func (s *Service) signingKey(ctx context.Context) (ed25519.PrivateKey, error) {
	seed := make([]byte, ed25519.SeedSize)
	if _, err := rand.Read(seed); err != nil {
		return nil, err
	}
	text, err := s.db.MetaOr(ctx, factSigning, base64.RawStdEncoding.EncodeToString(seed))
	if err != nil {
		return nil, err
	}
	if seed, err = base64.RawStdEncoding.DecodeString(text); err != nil || len(seed) != ed25519.SeedSize {
		return nil, fmt.Errorf("the signing key as kept is damaged: %w", errors.Join(err, db.ErrDamaged))
	}
	return ed25519.NewKeyFromSeed(seed), nil
}

// fingerprint is a key in few enough letters to be read out.
func fingerprint(key ed25519.PublicKey) string {
	text := base64.RawURLEncoding.EncodeToString(key)
	return text[:6] + " " + text[6:12] + " " + text[12:18]
}
