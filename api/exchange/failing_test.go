package exchange

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/db"
)

var errDisk = errors.New("the disk gave up")

// failing is a log whose Nth call fails, and every one after it.
type failing struct {
	*memory
	left *int
}

func (f failing) spent() bool { *f.left--; return *f.left < 0 }

func (f failing) Number(ctx context.Context, source string) error {
	if f.spent() {
		return errDisk
	}
	return f.memory.Number(ctx, source)
}

func (f failing) TakeRecords(ctx context.Context, rs []db.Record, a db.Arrival) (db.Taken, error) {
	if f.spent() {
		return db.Taken{}, errDisk
	}
	return f.memory.TakeRecords(ctx, rs, a)
}

func (f failing) Heads(ctx context.Context) ([]db.Head, error) {
	if f.spent() {
		return nil, errDisk
	}
	return f.memory.Heads(ctx)
}

func (f failing) Head(ctx context.Context, source string) (db.Head, error) {
	if f.spent() {
		return db.Head{}, errDisk
	}
	return f.memory.Head(ctx, source)
}

func (f failing) ChainAt(ctx context.Context, source string, n int64) (int64, error) {
	if f.spent() {
		return 0, errDisk
	}
	return f.memory.ChainAt(ctx, source, n)
}

func (f failing) Peer(ctx context.Context, id string) (db.Peer, error) {
	if f.spent() {
		return db.Peer{}, errDisk
	}
	return f.memory.Peer(ctx, id)
}

func (f failing) Records(ctx context.Context, feed db.Feed, after db.Mark, limit int) ([]db.Fed, error) {
	if f.spent() {
		return nil, errDisk
	}
	return f.memory.Records(ctx, feed, after, limit)
}

func (f failing) End(ctx context.Context) (db.Mark, error) {
	if f.spent() {
		return db.Mark{}, errDisk
	}
	return f.memory.End(ctx)
}

func (f failing) HasMark(ctx context.Context, m db.Mark) (bool, error) {
	if f.spent() {
		return false, errDisk
	}
	return f.memory.HasMark(ctx, m)
}

// The Nth call on either side's log fails, for every N until a visit passes:
// it is never called done, and the next visit brings everything, once.
func TestALogThatFailsAnywhere(t *testing.T) {
	t.Parallel()
	c := newCodec(t)
	for name, visit := range map[string]Visit{
		"whole": {Whole: true}, "own": {}, "wanted": {Want: &Want{Ports: []string{"A", "B", "C"}, Stake: []float64{3, 2, 1}}}, "ranked": {Want: &wanted, Budget: 40_000},
	} {
		for _, side := range []string{"caller", "answerer"} {
			for n := 0; ; n++ {
				require.Less(t, n, 500, "%s %s: it never passes", name, side)
				left, never := n, 1<<30
				mine, theirs := newMemory(), seasonLog()
				for i := range 40 {
					mine.add(price(10_000 + i))
				}
				caller := &Party{Codec: c, Log: failing{mine, &never}, Source: someID(1), Now: noon}
				answerer := &Party{Codec: c, Log: failing{theirs, &never}, Source: someID(2), Epoch: "e", Now: noon}
				if side == "caller" {
					caller.Log = failing{mine, &left}
				} else {
					answerer.Log = failing{theirs, &left}
				}
				v := visit
				v.ID, v.Peer = someID(7), "server"
				send := func(ctx context.Context, ask Ask) (Answer, error) { return answerer.Answer(ctx, ask, Terms{}) }
				_, err := caller.Meet(t.Context(), v, send)
				passed := err == nil
				if !passed {
					require.ErrorIs(t, err, errDisk)
				}
				left = 1 << 30
				_, err = caller.Meet(t.Context(), v, send)
				require.NoError(t, err)
				require.Len(t, theirs.rows, 940, "%s %s %d", name, side, n)
				if name == "whole" {
					require.Equal(t, hash(theirs), hash(mine))
				}
				if passed {
					break
				}
			}
		}
	}
}

// cutWriter takes so many bytes and no more.
type cutWriter struct{ left int }

func (w *cutWriter) Write(b []byte) (int, error) {
	if w.left -= len(b); w.left < 0 {
		return 0, errDisk
	}
	return len(b), nil
}

// A file that cannot be written, gathered or taken in says so.
func TestAFileOnAFailingDisk(t *testing.T) {
	t.Parallel()
	c := newCodec(t)
	_, key, err := ed25519.GenerateKey(nil)
	require.NoError(t, err)
	log := seasonLog()
	failed := 0
	for err := errDisk; err != nil; failed++ {
		left := failed
		p := &Party{Codec: c, Log: failing{log, &left}, Source: someID(2), Now: noon}
		var got []db.Record
		if got, _, err = p.Gather(t.Context(), db.Mark{}, true, 5000); err == nil {
			require.Len(t, got, 900)
		}
	}
	require.Greater(t, failed, 2)
	never := 1 << 30
	p := &Party{Codec: c, Log: failing{log, &never}, Source: someID(2), Now: noon}
	records, _, err := p.Gather(t.Context(), db.Mark{}, true, 5000)
	require.NoError(t, err)
	for _, room := range []int{0, 40, 100} {
		require.ErrorIs(t, p.Bundle(&cutWriter{room}, key, records), errDisk)
	}
	var whole bytes.Buffer
	require.NoError(t, p.Bundle(&whole, key, records))
	bundle, err := c.Unbundle(&whole)
	require.NoError(t, err)
	none := 0
	_, err = (&Party{Codec: c, Log: failing{newMemory(), &none}, Source: someID(3), Now: noon}).TakeBundle(t.Context(), bundle, "file")
	require.ErrorIs(t, err, errDisk)

	brought, err := p.Brought(Ask{})
	require.NoError(t, err)
	require.Empty(t, brought)
	_, err = p.Brought(Ask{Records: []byte{0xff}})
	require.ErrorIs(t, err, ErrUnreadable)
}
