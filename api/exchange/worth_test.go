package exchange

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/db/dbtest"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// seasonLog has reports of three items in three ports, of many days.
func seasonLog() *memory {
	m := newMemory()
	for i := range 900 {
		r := price(i)
		r.Port = pricing.PortID([]string{"A", "B", "C"}[i%3])
		r.Item = pricing.ItemID([]string{"rice", "beer", "salt"}[i/3%3])
		r.Day += calendar.Day((i - 900) / 6)
		m.add(r)
	}
	return m
}

var wanted = Want{Ports: []string{"A", "B"}, Items: []string{"rice", "beer"}, Stake: []float64{10, 90}}

func TestWhatIsWorthMostComesFirst(t *testing.T) {
	t.Parallel()
	c := newCodec(t)
	here := &Party{Codec: c, Log: newMemory(), Source: someID(1), Now: noon}
	there := &Party{Codec: c, Log: seasonLog(), Source: someID(2), Epoch: "e", Now: noon}
	var got []pricing.Report
	visit := Visit{ID: someID(5), Peer: "server", Want: &wanted, Budget: 3000}
	for range 60 {
		done, err := here.Meet(context.Background(), visit, func(ctx context.Context, ask Ask) (Answer, error) { return there.Answer(ctx, ask, Terms{}) })
		require.NoError(t, err)
		got = here.Log.(*memory).facts()
		require.Zero(t, done.Doubled, "a later visit goes on where the budget ended")
		if !done.More {
			break
		}
	}
	require.Len(t, got, 400, "all of the ports and items wanted, no other")
	first := got[:60] // the first visit's
	for _, r := range first {
		require.Equal(t, pricing.ItemID("beer"), r.Item, "nine times as much is at stake")
	}
	for i := range got {
		require.NotEqual(t, pricing.PortID("C"), got[i].Port)
	}
}

// A narrower wish goes on, a wider one begins anew: nothing that is wanted is
// left out for having been passed over before.
func TestAWiderWishBeginsAnew(t *testing.T) {
	t.Parallel()
	c := newCodec(t)
	here := &Party{Codec: c, Log: newMemory(), Source: someID(1), Now: noon}
	there := &Party{Codec: c, Log: seasonLog(), Source: someID(2), Epoch: "e", Now: noon}
	meet := func(w *Want) Done {
		done, err := here.Meet(context.Background(), Visit{ID: someID(6), Peer: "server", Want: w}, func(ctx context.Context, ask Ask) (Answer, error) {
			return there.Answer(ctx, ask, Terms{})
		})
		require.NoError(t, err)
		return done
	}
	require.Equal(t, 200, meet(&Want{Ports: []string{"A", "B"}, Items: []string{"rice"}}).Fetched)
	require.Zero(t, meet(&Want{Ports: []string{"B"}, Items: []string{"rice"}}).Doubled)
	wider := meet(&Want{Ports: []string{"A", "B"}, Items: []string{"rice", "beer"}})
	require.Equal(t, 200, wider.Fetched)
	all := meet(nil)
	require.Equal(t, 500, all.Fetched)
	require.Len(t, here.Log.(*memory).rows, 900)
	require.Zero(t, meet(nil).Doubled)
}

func TestAMessageOfANewerProgramIsRefused(t *testing.T) {
	t.Parallel()
	p := &Party{Codec: newCodec(t), Log: newMemory(), Source: someID(1), Now: noon}
	for _, v := range []int{0, Version + 1} {
		_, err := p.Answer(context.Background(), Ask{Version: v}, Terms{})
		require.ErrorIs(t, err, ErrVersion)
	}
	_, err := p.Meet(context.Background(), Visit{Peer: "x"}, func(context.Context, Ask) (Answer, error) { return Answer{Version: Version + 1}, nil })
	require.ErrorIs(t, err, ErrTooNew)
}

// A reader of today skips fields of tomorrow.
func TestUnknownFieldsAreSkipped(t *testing.T) {
	t.Parallel()
	c := newCodec(t)
	b, err := c.Encode(map[int]any{1: 1, 3: 5, 99: "tomorrow"})
	require.NoError(t, err)
	var ask Ask
	require.NoError(t, c.Decode(b, &ask))
	require.Equal(t, Ask{Version: 1, Now: 5}, ask)
}

// A boat brings what is old enough, and the rest on a later visit.
func TestReportsAreHeldBack(t *testing.T) {
	t.Parallel()
	c := newCodec(t)
	m := newMemory()
	for i, day := range []int{1, 2, 9, 3, 10} { // by arrival
		r := price(i)
		r.Day += calendar.Day(day)
		m.add(r)
	}
	here := &Party{Codec: c, Log: m, Source: someID(1), Now: noon}
	there := &Party{Codec: c, Log: newMemory(), Source: someID(2), Epoch: "e", Now: noon}
	visit := func(hold calendar.Day) int {
		_, err := here.Meet(context.Background(), Visit{ID: someID(5), Peer: "server", Hold: hold}, func(ctx context.Context, ask Ask) (Answer, error) {
			return there.Answer(ctx, ask, Terms{})
		})
		require.NoError(t, err)
		return len(there.Log.(*memory).rows)
	}
	base := price(0).Day
	require.Equal(t, 2, visit(base+5), "the fourth waits behind the third")
	require.Equal(t, 2, visit(base+5))
	require.Equal(t, 4, visit(base+9))
	require.Equal(t, 5, visit(0))
}

// What a boat pays to know a region: 30 ports, 150 items, one report of each as
// everybody is told it.
func TestBytesOfARegion(t *testing.T) {
	t.Parallel()
	c := newCodec(t)
	var rs []db.Record
	rng := rand.New(rand.NewPCG(1, 1))
	cells := rng.Perm(30 * 150) // in no order, as everybody is told
	for k, i := range cells {
		r := price(i)
		r.Port, r.Item = pricing.PortID(fmt.Sprintf("PT%03d", i%30)), pricing.ItemID(fmt.Sprintf("item_%d", i/30))
		r.Shop, r.Note, r.Origin, r.Quality, r.Source = "", "", "", 0, pricing.Shelf
		r.ID = IDOf(someID(9), int64(1+k))
		r.Reporter = r.ID
		r.Paid.Minor, r.Day = int64(20+rng.IntN(180))*5, 20_600-calendar.Day(rng.IntN(12)*30)
		rs = append(rs, db.Record{Report: r, Source: someID(9), Number: int64(1 + k)})
	}
	total := 0
	for len(rs) > 0 {
		p := &Party{Codec: c}
		b, n, err := p.fit(rs, pageBytes)
		require.NoError(t, err)
		total += len(c.zip.EncodeAll(b, nil))
		rs = rs[n:]
	}
	dbtest.Figure(t, "Y4", "a region of 30 ports × 150 items, a report of each", "%d bytes", total)
	require.LessOrEqual(t, total, 60<<10)
}
