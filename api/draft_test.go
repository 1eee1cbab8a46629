package api_test

import (
	"slices"
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
	s, p := shopped(t)
	first, err := s.Draft(ctx, p, 0)
	require.NoError(t, err)
	require.Equal(t, int64(api.Absent), first.Revision)
	nonsense := api.DraftLine{Item: "rice_white", Price: "4,,9", Pack: "a sack", Count: "-"}
	kept, err := s.ChangeDraft(ctx, p, 0, func(d *api.Draft) { d.Set(nonsense); d.Shop = "Market" })
	require.NoError(t, err)
	again, err := s.Draft(ctx, p, 0)
	require.NoError(t, err)
	require.Equal(t, kept, again)
	require.Equal(t, []api.DraftLine{nonsense}, again.Value.Lines, "right or wrong")

	_, err = s.ChangeDraft(ctx, p, 0, func(d *api.Draft) { d.Shop = strings.Repeat("x", 201) })
	require.ErrorIs(t, err, api.ErrInvalid)
	_, err = s.Draft(ctx, api.Planned{Voyage: "none", Notes: p.Notes}, 0)
	require.ErrorIs(t, err, api.ErrNotFound)

	untouched, err := s.ChangeDraft(ctx, p, 0, func(d *api.Draft) { d.Set(api.DraftLine{Item: "rice_white"}) })
	require.NoError(t, err)
	require.Empty(t, untouched.Value.Lines)
}

// shopped is the demo season as if planned: drafts need no more of a plan.
func shopped(t *testing.T) (*api.Service, api.Planned) {
	t.Helper()
	s, _, id := demo(t)
	b, err := s.Brief(ctx, id)
	require.NoError(t, err)
	return s, api.Planned{Voyage: id, Notes: b.Notes}
}

// What was typed for a call stays with it when the route before it changes and
// when its days move, and shows nowhere else.
func TestADraftStaysWithItsCall(t *testing.T) {
	t.Parallel()
	s, p := shopped(t)
	line := api.DraftLine{Item: "rice_white", Got: true}
	_, err := s.ChangeDraft(ctx, p, 3, func(d *api.Draft) { d.Set(line) })
	require.NoError(t, err)
	at := func(p api.Planned) (out []int) {
		for stop := range p.Notes.Stops {
			d, err := s.Draft(ctx, p, stop)
			require.NoError(t, err)
			if len(d.Value.Lines) > 0 {
				require.Equal(t, []api.DraftLine{line}, d.Value.Lines)
				out = append(out, stop)
			}
		}
		return out
	}
	require.Equal(t, []int{3}, at(p))
	left := p
	left.Notes.Stops = slices.Delete(slices.Clone(p.Notes.Stops), 1, 2)
	require.Equal(t, []int{2}, at(left), "a stop before it is left out")
	moved := p
	moved.Notes.Stops = slices.Clone(p.Notes.Stops)
	moved.Notes.Stops[3].Arrive += 9
	require.Equal(t, []int{3}, at(moved), "its days move")
	moved.Notes.Stops[3].Arrive += 60
	require.Empty(t, at(moved), "another visit")
	twice := p
	twice.Notes.Stops = slices.Insert(slices.Clone(p.Notes.Stops), 5, p.Notes.Stops[3])
	twice.Notes.Stops[5].Arrive += 12
	require.Equal(t, []int{3}, at(twice), "the call nearest in time")
	gone := p
	gone.Notes.Stops = slices.Delete(slices.Clone(p.Notes.Stops), 3, 4)
	require.Empty(t, at(gone))
	require.Equal(t, []int{3}, at(p), "and it is back with its port")
}

func TestTwoPhonesInOneShop(t *testing.T) {
	t.Parallel()
	s, p := shopped(t)
	items := s.World().Catalogue.Order[:16]
	var phones sync.WaitGroup
	for _, it := range items {
		phones.Add(1)
		go func() {
			defer phones.Done()
			_, err := s.ChangeDraft(ctx, p, 3, func(d *api.Draft) { d.Set(api.DraftLine{Item: it, Got: true}) })
			if err != nil {
				t.Error(err)
			}
		}()
	}
	phones.Wait()
	kept, err := s.Draft(ctx, p, 3)
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
