package exchange

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"

	"hardtack/db/dbtest"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

var noon = time.Date(2026, 6, 15, 12, 0, 0, 0, time.UTC)

// fleet is a few boats whose links break, whose messages come twice or late,
// whose clocks are off by up to ten years, whose files are copied and put back.
type fleet struct {
	t     *testing.T
	rng   *rand.Rand
	codec *Codec
	boats []*boat
	last  []Ask           // messages that may come once more, late
	acked map[string]bool // facts another boat answered for
	n     int
}

type boat struct {
	name   string
	log    *memory
	source string
	epoch  string
	clock  time.Duration
	saved  *memory // a backup
	had    string  // its source at that time
	own    map[string]bool
}

func newFleet(t *testing.T, codec *Codec, seed uint64) *fleet {
	f := &fleet{t: t, rng: rand.New(rand.NewPCG(seed, 7)), codec: codec, acked: map[string]bool{}}
	for i := range 2 + f.rng.IntN(4) {
		f.boats = append(f.boats, f.boat(fmt.Sprint("boat ", i), newMemory()))
	}
	return f
}

func (f *fleet) boat(name string, log *memory) *boat {
	years := f.rng.IntN(21) - 10
	return &boat{name: name, log: log, source: f.id(), epoch: f.id(), clock: time.Duration(years) * 365 * 24 * time.Hour, own: map[string]bool{}}
}

func (f *fleet) id() string {
	var b [16]byte
	for i := range b {
		b[i] = byte(f.rng.Uint32())
	}
	return uuid.UUID(b).String()
}

func (b *boat) party(c *Codec) *Party {
	return &Party{Codec: c, Log: b.log, Source: b.source, Epoch: b.epoch, Now: noon.Add(b.clock)}
}

// write enters a report, or a correction of one, dated by the boat's clock.
func (f *fleet) write(b *boat) {
	f.n++
	r := pricing.Report{
		ID: f.id(), Port: "PTHOR", Item: pricing.ItemID(fmt.Sprint("item", f.rng.IntN(5))), Day: calendar.Of(noon.Add(b.clock)),
		Found: pricing.FoundYes, Paid: money.Amount{Minor: int64(1 + f.rng.IntN(9999)), Currency: "EUR"}, Pack: measure.Of(1),
		Reporter: b.name, Source: pricing.Shelf,
	}
	if all := b.log.facts(); len(all) > 0 && f.rng.IntN(4) == 0 {
		r.Replaces = all[f.rng.IntN(len(all))].ID
		if f.rng.IntN(2) == 0 {
			r.Found, r.Paid, r.Pack = pricing.Withdrawn, money.Amount{}, 0
		}
	}
	b.log.add(r)
	b.own[r.ID] = true
}

var errCut = errors.New("the link broke")

// meet lets a call on b. With trouble, messages are lost on either way, come
// twice, or old ones come again.
func (f *fleet) meet(a, b *boat, trouble bool) error {
	ctx := context.Background()
	send := func(ctx context.Context, ask Ask) (Answer, error) {
		roll := 9
		if trouble {
			roll = f.rng.IntN(10)
		}
		if roll == 0 {
			return Answer{}, errCut
		}
		if roll == 1 && len(f.last) > 0 {
			if _, err := b.party(f.codec).Answer(ctx, f.last[f.rng.IntN(len(f.last))], Terms{}); err != nil {
				return Answer{}, err
			}
		}
		answer, err := b.party(f.codec).Answer(ctx, ask, Terms{})
		if err == nil && roll == 2 {
			answer, err = b.party(f.codec).Answer(ctx, ask, Terms{})
		}
		f.last = append(f.last, ask)
		if roll == 3 {
			return Answer{}, errCut
		}
		return answer, err
	}
	done, err := a.party(f.codec).Meet(ctx, Visit{ID: f.id(), Peer: b.name, Whole: true}, send)
	if done.Renamed {
		a.source = f.id()
	}
	if err == nil {
		for _, r := range a.log.facts() {
			f.acked[r.ID] = true
		}
	}
	return err
}

func (f *fleet) step() {
	b := f.boats[f.rng.IntN(len(f.boats))]
	switch roll := f.rng.IntN(40); {
	case roll < 18:
		f.write(b)
	case roll == 18: // a copied file is used on, beside the one it was copied from
		if len(f.boats) < 6 {
			c := f.boat(b.name+" copy", b.log.clone())
			c.source, c.epoch = b.source, b.epoch
			f.boats = append(f.boats, c)
		}
	case roll == 19:
		b.saved, b.had = b.log.clone(), b.source
	case roll == 20 && b.saved != nil: // put back: by our command, with a new epoch, or by copying the file
		b.log, b.source = b.saved.clone(), b.had
		if f.rng.IntN(2) == 0 {
			b.epoch = f.id()
		}
		f.forget()
	default:
		if c := f.boats[f.rng.IntN(len(f.boats))]; c != b {
			if err := f.meet(b, c, true); err != nil {
				require.ErrorIs(f.t, err, errCut)
			}
		}
	}
}

// forget drops what no disk has any more: that was lost with the file.
func (f *fleet) forget() {
	for id := range f.acked {
		if !slices.ContainsFunc(f.boats, func(b *boat) bool { return b.log.byID[id] != nil }) {
			delete(f.acked, id)
		}
	}
}

// settle lets everybody meet everybody without trouble until nothing moves.
func (f *fleet) settle() {
	for range 2 {
		for _, a := range f.boats {
			for _, b := range f.boats {
				if a != b {
					require.NoError(f.t, f.meet(a, b, false))
				}
			}
		}
	}
}

func hash(m *memory) string {
	var h Hasher
	for _, r := range m.facts() {
		h.Add(r)
	}
	return h.Sum()
}

func (f *fleet) check(seed uint64) {
	want := hash(f.boats[0].log)
	kept := f.boats[0].log.byID
	for _, b := range f.boats {
		require.Equal(f.t, want, hash(b.log), "seed %d: %s has %d of %d facts", seed, b.name, len(b.log.rows), len(kept))
	}
	for id := range f.acked {
		require.Contains(f.t, kept, id, "seed %d: a fact another boat had answered for is lost", seed)
	}
}

func TestEveryScheduleEndsInOneState(t *testing.T) {
	t.Parallel()
	schedules := dbtest.Rounds(t, 1_500, 10_000)
	codec, err := NewCodec()
	require.NoError(t, err)
	facts, copies := 0, 0
	for seed := range uint64(schedules) {
		f := newFleet(t, codec, seed)
		for range 25 + f.rng.IntN(40) {
			f.step()
		}
		f.settle()
		f.check(seed)
		facts += len(f.boats[0].log.rows)
		if slices.ContainsFunc(f.boats, func(b *boat) bool { return len(b.name) > 7 }) {
			copies++
		}
	}
	require.Greater(t, facts, schedules*5, "schedules in which nothing happens show nothing")
	require.Greater(t, copies, schedules/10)
	dbtest.Figure(t, "Y2", fmt.Sprintf("%d schedules of 2–5 boats, %d with copied files", schedules, copies), "%d facts, one state each", facts)
}
