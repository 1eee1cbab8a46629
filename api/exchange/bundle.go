package exchange

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"errors"
	"fmt"
	"io"

	"hardtack/db"
)

// ErrForged is a file whose signature does not fit what it says.
var ErrForged = errors.New("the signature does not fit")

// Bundle is an exchange's records as a file, for mail or a stick: signed by
// the database that wrote it (Ed25519, RFC 8032), so that it cannot be changed
// on the way by whoever carries it.
type Bundle struct {
	From    string // its source
	Key     ed25519.PublicKey
	Made    int64 // Unix seconds by the writer's clock
	Records []db.Record
}

// The file is a line that says what it is, the signature of all that follows
// the signature, and a Zstandard frame of CBOR.
const bundleLine = "hardtack records 1\n"

// MaxBundle is the largest file that is read.
const MaxBundle = 16 << 20

// maxBundled records go into one file.
const maxBundled = 40_000

type bundleBody struct {
	From  ID       `cbor:"1,keyasint"`
	Key   []byte   `cbor:"2,keyasint"`
	Made  int64    `cbor:"3,keyasint"`
	Pages [][]byte `cbor:"4,keyasint"`
}

// Gather collects what is after a mark, up to a number of records: only what
// was entered here, or everything. It gives the mark to go on from.
func (p *Party) Gather(ctx context.Context, after db.Mark, all bool, most int) ([]db.Record, db.Mark, error) {
	if err := p.Log.Number(ctx, p.Source); err != nil {
		return nil, after, err
	}
	f := db.Feed{}
	if !all {
		f.Of = p.Source
	}
	var out []db.Record
	for most = min(most, maxBundled); len(out) < most; {
		fed, err := p.Log.Records(ctx, f, after, min(pageRows, most-len(out)))
		if err != nil {
			return nil, after, err
		}
		if len(fed) == 0 {
			break
		}
		out = append(out, without(fed, nil)...)
		after = fed[len(fed)-1].Mark
	}
	return out, after, nil
}

// Bundle writes records as a file.
func (p *Party) Bundle(w io.Writer, key ed25519.PrivateKey, records []db.Record) error {
	body := bundleBody{From: idOf(p.Source), Key: key.Public().(ed25519.PublicKey), Made: p.Now.Unix()}
	for len(records) > 0 {
		n := min(len(records), pageRows)
		page, err := p.Codec.pack(records[:n])
		if err != nil {
			return err
		}
		body.Pages = append(body.Pages, page)
		records = records[n:]
	}
	frame, err := p.Codec.Encode(body)
	if err != nil {
		return err
	}
	for _, b := range [][]byte{[]byte(bundleLine), ed25519.Sign(key, signed(frame)), frame} {
		if _, err := w.Write(b); err != nil {
			return err
		}
	}
	return nil
}

// signed is what a signature is about: the file's kind too, so that it fits no
// message of another kind.
func signed(frame []byte) []byte { return append([]byte(bundleLine), frame...) }

// Unbundle reads a file. Errors: ErrUnreadable, ErrForged.
func (c *Codec) Unbundle(r io.Reader) (Bundle, error) {
	all, err := io.ReadAll(io.LimitReader(r, MaxBundle+1))
	if err != nil {
		return Bundle{}, err
	}
	rest, ours := bytes.CutPrefix(all, []byte(bundleLine))
	if !ours || len(rest) < ed25519.SignatureSize || len(all) > MaxBundle {
		return Bundle{}, fmt.Errorf("file %w: want records written by this program, at most %d MB", ErrUnreadable, MaxBundle>>20)
	}
	signature, frame := rest[:ed25519.SignatureSize], rest[ed25519.SignatureSize:]
	var body bundleBody
	if err := c.decode(frame, &body, c.large); err != nil {
		return Bundle{}, err
	}
	if len(body.Key) != ed25519.PublicKeySize || !ed25519.Verify(body.Key, signed(frame), signature) {
		return Bundle{}, fmt.Errorf("file: %w: it was damaged or changed on the way; nothing was changed", ErrForged)
	}
	b := Bundle{From: nameOf(body.From), Key: body.Key, Made: body.Made}
	for _, page := range body.Pages {
		rs, err := c.unpack(page)
		if err != nil {
			return Bundle{}, err
		}
		if b.Records = append(b.Records, rs...); len(b.Records) > maxBundled {
			return Bundle{}, fmt.Errorf("file %w: more than %d records", ErrUnreadable, maxBundled)
		}
	}
	return b, nil
}

// TakeBundle takes a file's records; the file again changes nothing.
func (p *Party) TakeBundle(ctx context.Context, b Bundle, carrier string) (Done, error) {
	done := Done{ClockOff: p.Now.Unix() - b.Made}
	for rs := b.Records; len(rs) > 0; {
		n := min(len(rs), pageRows)
		taken, err := p.accept(ctx, rs[:n], nil, db.Arrival{Carrier: carrier, Last: p.last()})
		if err != nil {
			return done, err
		}
		done.Fetched, done.Doubled, done.Late = done.Fetched+taken.New, done.Doubled+taken.Same, done.Late+taken.Late
		for _, r := range taken.Refused[:min(len(taken.Refused), maxRefusals-len(done.Refused))] {
			done.Refused = append(done.Refused, Refusal{ID: r.ID, Why: r.Why})
		}
		rs = rs[n:]
	}
	return done, nil
}
