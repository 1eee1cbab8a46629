package api

import (
	"context"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/db/dbtest"
	"hardtack/pricing/calendar"
	"hardtack/route/inventory"
	"hardtack/route/logbook"
	"hardtack/route/vessel"
	"hardtack/seed"
)

// aboard is a service with a boat and two people on 2026-09-05.
func aboard(t *testing.T) *Service {
	t.Helper()
	w, err := LoadWorld(seed.FS)
	require.NoError(t, err)
	noon := time.Date(2026, 9, 5, 12, 0, 0, 0, time.UTC)
	s := New(dbtest.Open(t, dbtest.SQLite), w, Options{Now: func() time.Time { return noon }})
	ctx := context.Background()
	_, err = s.PutVessel(ctx, vessel.Vessel{ID: "v", Name: "V (invented)", Spaces: []vessel.Space{{ID: "port", Kind: vessel.Dry, Litres: 300}}}, AnyRevision)
	require.NoError(t, err)
	_, err = s.PutCrew(ctx, vessel.Crew{ID: "c", Persons: []vessel.Person{{ID: "a", Age: 40}, {ID: "b", Age: 40}}}, AnyRevision)
	require.NoError(t, err)
	return s
}

// Whoever uses from one sack at once: no gram is lost, and the book says so.
func TestActsSideBySide(t *testing.T) {
	t.Parallel()
	s, ctx := aboard(t), context.Background()
	_, err := s.Act(ctx, "v", ActEntry{Kind: inventory.Bought, Item: "rice_white", Amount: "10 kg", To: "port"})
	require.NoError(t, err)
	errs := make([]error, 5)
	var wg sync.WaitGroup
	for i := range errs {
		wg.Go(func() {
			_, errs[i] = s.Act(ctx, "v", ActEntry{Kind: inventory.Used, Item: "rice_white", Amount: "1 kg"})
		})
	}
	wg.Wait()
	done := 0
	for _, err := range errs {
		if err == nil {
			done++
			continue
		}
		require.ErrorIs(t, err, ErrStale)
	}
	lots, err := s.Aboard(ctx, "v")
	require.NoError(t, err)
	require.InDelta(t, float64(10-done), lots.Value[0].Quantity.Units(), 1e-9)
	moves, err := s.Moves(ctx, "v", 0, 0)
	require.NoError(t, err)
	require.Len(t, moves, 1+done)
}

func TestACountSentTwiceChangesNothing(t *testing.T) {
	t.Parallel()
	s, ctx := aboard(t), context.Background()
	count := func() Kept[CountTaken] {
		t.Helper()
		k, err := s.Count(ctx, "v", strings.NewReader("item,space,amount\nrice_white,port,5 kg\n"), CountOptions{}, AnyRevision)
		require.NoError(t, err)
		return k
	}
	first := count()
	require.Equal(t, first.Revision, count().Revision)
	_, err := s.Count(ctx, "v", strings.NewReader("item,space,amount\nrice_white,port,4 kg\n"), CountOptions{}, first.Revision+7)
	require.ErrorIs(t, err, ErrStale)
	_, err = s.Count(ctx, "v", strings.NewReader("item,space,amount\nrice_white,port,4 kg\n"), CountOptions{Crew: "nobody"}, AnyRevision)
	require.ErrorIs(t, err, ErrNotFound)
}

// A lot added again under its id is one line of the stores book.
func TestWhatComesIsBookedOnce(t *testing.T) {
	t.Parallel()
	s, ctx := aboard(t), context.Background()
	add := ChangeAboard{Add: []LotEntry{{ID: "l1", Item: "rice_white", Space: "port", Amount: "5 kg", Port: "PTHOR"}}}
	for range 2 {
		_, err := s.Change(ctx, "v", add)
		require.NoError(t, err)
	}
	moves, err := s.Moves(ctx, "v", 0, 0)
	require.NoError(t, err)
	require.Len(t, moves, 1)
	require.Equal(t, inventory.Bought, moves[0].Kind)
	require.EqualValues(t, "PTHOR", moves[0].Port)
}

func TestTheLogRefusesWhatItCannotKeep(t *testing.T) {
	t.Parallel()
	s, ctx := aboard(t), context.Background()
	for path, e := range map[string]logbook.Entry{
		"kind": {Kind: "whales", Note: "x"}, "item": {Kind: logbook.PestSeen, Item: "unobtainium"},
		"day": {Kind: logbook.Rain, Amount: 3, Day: s.Today() + 9}, "note": {Kind: logbook.Remark, Note: strings.Repeat("x", maxNote+1)},
	} {
		_, err := s.AddLog(ctx, "v", e)
		var bad *InvalidError
		require.ErrorAs(t, err, &bad, path)
		require.Equal(t, path, bad.Faults[0].Path)
	}
	e, err := s.AddLog(ctx, "v", logbook.Entry{ID: "e1", Kind: logbook.Rain, Amount: 12})
	require.NoError(t, err)
	require.Equal(t, s.Today(), e.Day)
	_, err = s.AddLog(ctx, "v", logbook.Entry{ID: "e1", Kind: logbook.Rain, Amount: 13})
	require.ErrorIs(t, err, ErrConflict)
	log, err := s.Log(ctx, "v", 0, 0)
	require.NoError(t, err)
	require.Len(t, log, 1)
}

// A swap told of empties the cylinder that came off, and the gas of the next
// brief is what the cylinders then hold; told twice it counts once, and one
// told late changes nothing.
func TestAGasSwapChangesTheCylinders(t *testing.T) {
	t.Parallel()
	s, ctx := aboard(t), context.Background()
	kept, err := s.Vessel(ctx, "v")
	require.NoError(t, err)
	v := kept.Value
	v.Cylinders = []vessel.Cylinder{{Kg: 6, Full: 0.2}, {Kg: 6, Full: 1}}
	_, err = s.PutVessel(ctx, v, AnyRevision)
	require.NoError(t, err)
	tell := func(id string, k logbook.Kind, kg float64, ago int) {
		t.Helper()
		_, err := s.AddLog(ctx, "v", logbook.Entry{ID: id, Kind: k, Amount: kg, Day: s.Today() - calendar.Day(ago)})
		require.NoError(t, err)
	}
	gas := func() float64 {
		t.Helper()
		k, err := s.Vessel(ctx, "v")
		require.NoError(t, err)
		return k.Value.GasKg()
	}
	tell("s1", logbook.GasSwap, 6, 5)
	require.InDelta(t, 6, gas(), 1e-9, "1.2 kg came off as empty")
	tell("s1", logbook.GasSwap, 6, 5)
	require.InDelta(t, 6, gas(), 1e-9)
	tell("s0", logbook.GasSwap, 6, 60)
	require.InDelta(t, 6, gas(), 1e-9)
	tell("f1", logbook.GasFilled, 6, 1)
	require.InDelta(t, 12, gas(), 1e-9)
	stands, err := s.Gas(ctx, "v", TankOptions{Days: 10})
	require.NoError(t, err)
	require.InDelta(t, 12-2*5*stands.Rate, stands.Aboard, 1e-6, "two people have cooked for five days since")
}
