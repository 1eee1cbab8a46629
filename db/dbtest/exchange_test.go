package dbtest_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/pricing"
)

func recordID(n int) string { return uuid.NewSHA1(uuid.NameSpaceOID, fmt.Append(nil, n)).String() }

// records are n of a source, numbered from first.
func records(source string, first, n int) []db.Record {
	out := make([]db.Record, n)
	for i := range out {
		number := first + i
		r := coffee(recordID(number))
		r.Reporter = source
		out[i] = db.Record{Report: r, Source: source, Number: int64(number)}
	}
	return out
}

var arrival = db.Arrival{Carrier: "peer", Last: day("2026-06-15")}

func take(t *testing.T, d *db.DB, a db.Arrival, rs ...db.Record) db.Taken {
	t.Helper()
	done, err := d.TakeRecords(ctx, rs, a)
	require.NoError(t, err)
	return done
}

func fed(t *testing.T, d *db.DB, f db.Feed, after db.Mark, limit int) []db.Fed {
	t.Helper()
	out, err := d.Records(ctx, f, after, limit)
	require.NoError(t, err)
	return out
}

func recordsAnyOrder(t *testing.T, d *db.DB) {
	want := records("s", 1, 40)
	rng := rand.New(rand.NewPCG(1, 2))
	for range 12 { // some of them, doubled, in any order, until all are there
		part := slices.Clone(want)
		rng.Shuffle(len(part), func(i, j int) { part[i], part[j] = part[j], part[i] })
		take(t, d, arrival, append(part[:10], part[:3]...)...)
	}
	done := take(t, d, arrival, want...)
	require.Equal(t, 40, done.New+done.Same)
	require.Equal(t, db.Taken{Same: 40}, take(t, d, arrival, want...))
	h, err := d.Head(ctx, "s")
	require.NoError(t, err)
	chain := db.Head{Source: "s"}
	for _, r := range want {
		chain = chain.Next(r.ID)
	}
	require.Equal(t, chain, h)
	at := db.Head{Source: "s"}
	for _, r := range want {
		at = at.Next(r.ID)
		kept, err := d.ChainAt(ctx, "s", r.Number)
		require.NoError(t, err)
		require.Equal(t, at.Chain, kept, "number %d", r.Number)
	}
	heads, err := d.Heads(ctx)
	require.NoError(t, err)
	require.Equal(t, []db.Head{h}, heads)
	got := map[int64]db.Record{}
	for _, f := range fed(t, d, db.Feed{}, db.Mark{}, 100) {
		got[f.Number] = f.Record
	}
	require.Len(t, got, 40)
	for _, r := range want {
		require.Equal(t, r, got[r.Number])
	}
	clash := want[3]
	clash.Quality = 1
	require.Equal(t, []db.Refusal{{ID: clash.ID, Why: "it is there with other content"}}, take(t, d, arrival, clash).Refused)
}

func recordsNumbered(t *testing.T, d *db.DB) {
	add(t, d, coffee(recordID(7)))
	add(t, d, coffee(recordID(3)))
	require.NoError(t, d.Number(ctx, "me"))
	take(t, d, arrival, records("s", 10, 1)...)
	add(t, d, coffee(recordID(5)))
	for range 2 {
		require.NoError(t, d.Number(ctx, "me"))
	}
	var got []string
	for _, f := range fed(t, d, db.Feed{}, db.Mark{}, 10) {
		got = append(got, fmt.Sprintf("%s %d %v", f.Source, f.Number, f.ID == recordID(7) || f.ID == recordID(3) || f.ID == recordID(5)))
	}
	require.Equal(t, []string{"me 1 true", "me 2 true", "s 10 false", "me 3 true"}, got)
	require.Len(t, fed(t, d, db.Feed{NotFrom: "peer"}, db.Mark{}, 10), 3)
	require.Len(t, fed(t, d, db.Feed{Of: "me"}, db.Mark{}, 10), 3)
	require.Len(t, fed(t, d, db.Feed{Ports: []pricing.PortID{"PTHOR", "X"}, Items: []pricing.ItemID{"rice"}}, db.Mark{}, 10), 0)
	require.Len(t, fed(t, d, db.Feed{Ports: []pricing.PortID{"X", "PTHOR"}}, db.Mark{}, 10), 4)
	first := fed(t, d, db.Feed{}, db.Mark{}, 1)[0].Mark
	there, err := d.HasMark(ctx, first)
	require.NoError(t, err)
	require.True(t, there)
	there, err = d.HasMark(ctx, db.Mark{Seq: first.Seq + 1, ID: first.ID})
	require.NoError(t, err)
	require.False(t, there)
	chain, err := d.ChainAt(ctx, "me", 3)
	require.NoError(t, err)
	h, err := d.Head(ctx, "me")
	require.NoError(t, err)
	require.Equal(t, h, db.Head{Source: "me", Top: 3, Chain: chain})
}

// Readers follow the feed while several write: everything is seen exactly once.
func feedWithoutGap(t *testing.T, d *db.DB) {
	const writers, each = 6, 20
	var wg sync.WaitGroup
	for w := range writers {
		wg.Go(func() {
			for i := range each {
				_, err := d.TakeRecords(ctx, records(fmt.Sprint("s", w), w*1000+i+1, 1), arrival)
				if err != nil {
					t.Error(err)
				}
			}
		})
	}
	var mark db.Mark
	seen := map[string]int{}
	follow := func() {
		for {
			page := fed(t, d, db.Feed{}, mark, 7)
			for _, f := range page {
				seen[f.ID]++
				mark = f.Mark
			}
			if len(page) == 0 {
				return
			}
		}
	}
	done := make(chan struct{})
	go func() { wg.Wait(); close(done) }()
	for running := true; running; {
		select {
		case <-done:
			running = false
		default:
		}
		follow()
	}
	follow()
	require.Len(t, seen, writers*each)
	for id, n := range seen {
		require.Equal(t, 1, n, id)
	}
}

func headWithoutGap(t *testing.T, d *db.DB) {
	top := func() int64 {
		h, err := d.Head(ctx, "s")
		require.NoError(t, err)
		return h.Top
	}
	take(t, d, arrival, records("s", 3, 2)...)
	require.EqualValues(t, 0, top())
	take(t, d, arrival, records("s", 1, 1)...)
	require.EqualValues(t, 1, top())
	take(t, d, arrival, records("s", 2, 1)...)
	require.EqualValues(t, 4, top())
}

func partedWays(t *testing.T, d *db.DB) {
	take(t, d, arrival, records("s", 1, 3)...)
	other := records("s", 101, 1)
	other[0].Number = 2
	require.Equal(t, 1, take(t, d, arrival, other...).New)
	require.Equal(t, db.Taken{Same: 1}, take(t, d, arrival, other...))
	all := fed(t, d, db.Feed{}, db.Mark{}, 10)
	require.Len(t, all, 4)
	require.NotEqual(t, "s", all[3].Source)
	require.Equal(t, other[0].Report, all[3].Report)
}

func daysToCome(t *testing.T, d *db.DB) {
	r := records("s", 1, 1)
	r[0].Day = day("2036-06-15")
	require.Equal(t, db.Taken{New: 1, Late: 1}, take(t, d, arrival, r...))
	require.Equal(t, db.Taken{Same: 1}, take(t, d, arrival, r...))
	kept, err := d.Report(ctx, r[0].ID)
	require.NoError(t, err)
	require.Equal(t, arrival.Last, kept.Day, "read as the last day that can have come")
	require.Equal(t, r[0], fed(t, d, db.Feed{}, db.Mark{}, 1)[0].Record, "told on as its boat said it")
}

func peerKept(t *testing.T, d *db.DB) {
	_, err := d.Peer(ctx, "p")
	require.ErrorIs(t, err, db.ErrNotFound)
	for n := range int64(2) {
		a := arrival
		a.Peer = db.Peer{ID: "p", Source: "q", Epoch: "e", Pulled: "x", Stuck: 3, Pushed: db.Mark{Seq: n, ID: "i"}, AtMs: 5}
		take(t, d, a)
		got, err := d.Peer(ctx, "p")
		require.NoError(t, err)
		require.Equal(t, a.Peer, got)
	}
	require.NoError(t, d.SetMeta(ctx, "source", "a"))
	require.NoError(t, d.SetMeta(ctx, "source", "b"))
	got, err := d.MetaOr(ctx, "source", "c")
	require.NoError(t, err)
	require.Equal(t, "b", got)
}
