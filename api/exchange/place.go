package exchange

import (
	"context"

	"hardtack/db"
	"hardtack/pricing"
)

type (
	portID = pricing.PortID
	itemID = pricing.ItemID
)

func idsOf[T ~string](ids []string) []T {
	var out []T
	for _, id := range ids {
		out = append(out, T(id))
	}
	return out
}

// place is where an asker is in the order of arrival here. Only the one who
// gave it out reads it.
type place struct {
	_     struct{} `cbor:",toarray"`
	Epoch string
	Seq   int64
	ID    ID
	// Of a telling by worth: what was wanted and on which day, up to which record
	// it goes, and how many of these were told. Zero outside of one.
	Want   uint64
	Day    int64
	UpTo   int64
	UpToID ID
	Told   int
}

func (at place) mark() db.Mark { return mark(at.Seq, at.ID) }

func mark(seq int64, id ID) db.Mark {
	if seq == 0 {
		return db.Mark{}
	}
	return db.Mark{Seq: seq, ID: nameOf(id)}
}

func (p *Party) placeAt(m db.Mark) place { return place{Epoch: p.Epoch, Seq: m.Seq, ID: idOf(m.ID)} }

// placed writes a place as it is given out.
func (c *Codec) placed(at place) ([]byte, error) { return c.enc.Marshal(at) }

// placeOf is the asker's place, or the beginning, said so, when this database
// does not know it any more: it was put back to an earlier state.
func (p *Party) placeOf(ctx context.Context, shelf Shelf, ask Ask, a *Answer) (place, error) {
	begin := p.placeAt(db.Mark{})
	if len(ask.After) == 0 {
		return begin, nil
	}
	var at place
	if err := p.Codec.dec.Unmarshal(ask.After, &at); err != nil || at.Epoch != p.Epoch || at.Told < 0 {
		a.Reset = true
		return begin, nil
	}
	for _, m := range []db.Mark{at.mark(), mark(at.UpTo, at.UpToID)} {
		there, err := shelf.HasMark(ctx, m)
		if err != nil {
			return begin, err
		}
		if !there {
			a.Reset = true
			return begin, nil
		}
	}
	return at, nil
}
