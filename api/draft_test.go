package api_test

import (
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/db"
	"hardtack/pricing"
)

func TestDraftsKeepWhatWasTyped(t *testing.T) {
	t.Parallel()
	s, _, id := demo(t)
	first, err := s.Draft(ctx, id, 0)
	require.NoError(t, err)
	require.Equal(t, int64(api.Absent), first.Revision)
	nonsense := api.DraftLine{Item: "rice_white", Price: "4,,9", Pack: "a sack", Count: "-"}
	kept, err := s.ChangeDraft(ctx, id, 0, func(d *api.Draft) { d.Set(nonsense); d.Shop = "Market" })
	require.NoError(t, err)
	again, err := s.Draft(ctx, id, 0)
	require.NoError(t, err)
	require.Equal(t, kept, again)
	require.Equal(t, []api.DraftLine{nonsense}, again.Value.Lines, "right or wrong")

	_, err = s.ChangeDraft(ctx, id, 0, func(d *api.Draft) { d.Shop = strings.Repeat("x", 201) })
	require.ErrorIs(t, err, api.ErrInvalid)
	_, err = s.Draft(ctx, "none", 0)
	require.ErrorIs(t, err, api.ErrNotFound)

	untouched, err := s.ChangeDraft(ctx, id, 0, func(d *api.Draft) { d.Set(api.DraftLine{Item: "rice_white"}) })
	require.NoError(t, err)
	require.Empty(t, untouched.Value.Lines)
}

func TestTwoPhonesInOneShop(t *testing.T) {
	t.Parallel()
	s, _, id := demo(t)
	items := s.World().Catalogue.Order[:16]
	var phones sync.WaitGroup
	for _, it := range items {
		phones.Add(1)
		go func() {
			defer phones.Done()
			_, err := s.ChangeDraft(ctx, id, 3, func(d *api.Draft) { d.Set(api.DraftLine{Item: it, Got: true}) })
			if err != nil {
				t.Error(err)
			}
		}()
	}
	phones.Wait()
	kept, err := s.Draft(ctx, id, 3)
	require.NoError(t, err)
	require.Len(t, kept.Value.Lines, len(items))
}

func TestBringAboardIsAllOrNothingAndOnce(t *testing.T) {
	t.Parallel()
	s, d, _ := demo(t)
	landing := func(amount string) api.Landing {
		return api.Landing{
			Receipt: api.Receipt{ID: "2f0c6a38-4c1f-4d60-9a70-7d7f2a0b9a11", Port: "PTHOR", Day: s.Today(), Currency: "EUR", Reporter: "me", Lines: []api.Line{
				{Item: "rice_white", Amount: amount, Pack: "1 kg"}, {Item: "egg_unwashed", Found: pricing.FoundNone},
			}},
			Vessel: "quillback", Lots: []api.LotEntry{{ID: "landed-rice", Item: "rice_white", Space: "dry", Amount: "2 kg"}},
		}
	}
	before, err := d.Change(ctx)
	require.NoError(t, err)
	same := func() {
		t.Helper()
		after, err := d.Change(ctx)
		require.NoError(t, err)
		require.Equal(t, before, after, "nothing was changed")
	}
	_, err = s.BringAboard(ctx, landing("1.999"))
	require.ErrorIs(t, err, api.ErrInvalid)
	same()
	bad := landing("1.99")
	bad.Lots[0].Space = "the moon"
	_, err = s.BringAboard(ctx, bad)
	require.ErrorIs(t, err, api.ErrInvalid)
	same()
	_, err = s.BringAboard(ctx, api.Landing{Vessel: "quillback"})
	require.ErrorIs(t, err, api.ErrInvalid)
	same()

	done, err := s.BringAboard(ctx, landing("1.99"))
	require.NoError(t, err)
	require.Equal(t, 2, done.Reports.New)
	require.Equal(t, 1, done.Lots)
	before, err = d.Change(ctx, db.KindReport, db.KindLot)
	require.NoError(t, err)
	done, err = s.BringAboard(ctx, landing("1.99"))
	require.NoError(t, err)
	require.Equal(t, 2, done.Reports.Same)
	lots, err := s.Aboard(ctx, "quillback")
	require.NoError(t, err)
	n := 0
	for _, l := range lots.Value {
		if l.ID == "landed-rice" {
			n++
		}
	}
	require.Equal(t, 1, n)
}

func TestAisles(t *testing.T) {
	t.Parallel()
	s, _ := service(t, june)
	all, err := s.Aisles(ctx)
	require.NoError(t, err)
	require.Greater(t, len(all), 10)
	last := all[len(all)-1]
	require.NoError(t, s.PutAisles(ctx, []string{last}))
	moved, err := s.Aisles(ctx)
	require.NoError(t, err)
	require.Equal(t, append([]string{last}, all[:len(all)-1]...), moved)
	require.ErrorIs(t, s.PutAisles(ctx, []string{"gold"}), api.ErrInvalid)
}
