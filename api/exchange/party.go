package exchange

import (
	"context"
	"time"

	"github.com/google/uuid"

	"hardtack/db"
	"hardtack/pricing/calendar"
)

// Log is what one of those who exchange keeps; a *db.DB is one.
type Log interface {
	Shelf
	Number(ctx context.Context, source string) error
	TakeRecords(ctx context.Context, rs []db.Record, a db.Arrival) (db.Taken, error)
	Heads(ctx context.Context) ([]db.Head, error)
	Head(ctx context.Context, source string) (db.Head, error)
	ChainAt(ctx context.Context, source string, number int64) (int64, error)
	Peer(ctx context.Context, id string) (db.Peer, error)
}

// Shelf is records in an order in which nothing ever comes in before what was
// already seen.
type Shelf interface {
	Records(ctx context.Context, f db.Feed, after db.Mark, limit int) ([]db.Fed, error)
	End(ctx context.Context) (db.Mark, error)
	HasMark(ctx context.Context, m db.Mark) (bool, error)
}

// Party is one of those who exchange.
type Party struct {
	Codec  *Codec
	Log    Log
	Source string // its name: a UUID
	Epoch  string
	Now    time.Time // by its clock
}

// Bytes of records, compressed, that one message brings. What is lost when the
// link breaks is one message each way.
const pageBytes = 16 << 10

// pageRows are looked at for one page.
const pageRows = 1500

// last is the last day that can have come: clocks of the east are up to 14
// hours ahead of UTC.
func (p *Party) last() calendar.Day { return calendar.Of(p.Now) + 1 }

func idOf(source string) ID {
	u, err := uuid.Parse(source)
	if err != nil {
		return ID{}
	}
	return ID(u)
}

func nameOf(id ID) string { return uuid.UUID(id).String() }

// covered are those of a peer's heads that hold here too: the same chain at
// the same number is the same records up to there.
func covered(ctx context.Context, log Log, heads []Reached) (map[string]int64, error) {
	out := map[string]int64{}
	for _, h := range heads {
		source := nameOf(h.Source)
		chain, err := log.ChainAt(ctx, source, h.Top)
		if err != nil {
			return nil, err
		}
		if chain != 0 && chain == h.Chain {
			out[source] = h.Top
		}
	}
	return out, nil
}

// without leaves out records that are covered.
func without(fs []db.Fed, known map[string]int64) []db.Record {
	var out []db.Record
	for _, f := range fs {
		if f.Number > known[f.Source] && Portable(f.Record) {
			out = append(out, f.Record)
		}
	}
	return out
}

// fit packs as many of the first records as fit into a number of bytes, one at
// least, and says how many.
func (p *Party) fit(rs []db.Record, most int) ([]byte, int, error) {
	if len(rs) == 0 {
		return nil, 0, nil
	}
	for n := len(rs); ; {
		b, err := p.Codec.pack(rs[:n])
		if err != nil {
			return nil, 0, err
		}
		if len(b) <= most || n == 1 {
			return b, n, nil
		}
		size := len(p.Codec.zip.EncodeAll(b, nil))
		if size <= most {
			return b, n, nil
		}
		n = max(1, min(n-1, n*most/size*9/10))
	}
}
