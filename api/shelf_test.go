package api_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/route/plan"
)

// At every pack the plan buys at Las Palmas: a price above the walk-away price
// takes none, half the expected price takes no fewer than planned, and it never costs more
// than keeping to the lists.
func TestPricesMetAtTheShelf(t *testing.T) {
	t.Parallel()
	s := islands(t)
	kept, err := s.LastPlan(ctx, "hop")
	require.NoError(t, err)
	p, asked := kept.Value, 0
	for _, x := range p.Plan.Purchases {
		if x.Stop != 1 || asked == 12 || x.Packs == 0 {
			continue
		}
		asked++
		note, _ := p.Notes.Item(x.Item)
		pack := fmt.Sprintf("%.3f %s", x.Pack, note.Unit)
		ask := api.ShelfAsk{Item: string(note.Item), Stop: 1, Pack: pack}
		shelf, err := s.Shelf(ctx, "hop", ask)
		require.NoError(t, err)
		require.Positive(t, shelf.Planned, "%s", x.Item)
		require.NotEmpty(t, shelf.Steps)
		require.NotEmpty(t, shelf.Words)
		require.Equal(t, 1.0, shelf.Local, "euros there and at home")
		require.InDelta(t, x.Price, shelf.Expected, 1e-9)
		for k := 1; k < len(shelf.Steps); k++ {
			require.Less(t, shelf.Steps[k-1].Packs, shelf.Steps[k].Packs)
			require.Less(t, *shelf.Steps[k].UpTo, orFar(shelf.Steps[k-1].UpTo))
		}
		met := func(price float64) api.Repriced {
			r, err := s.Reprice(ctx, "hop", api.MetOptions{Stop: 1, Prices: []api.Met{{Item: ask.Item, Pack: pack, Price: fmt.Sprintf("%.2f", price)}}})
			require.NoError(t, err)
			require.NotEmpty(t, r.Words)
			keeping := float64(shelf.Planned) * (r.Price - shelf.Expected)
			require.InDelta(t, p.Plan.Cost.Total+keeping, r.Difference.Kept.Total, 1e-3, "the old lists at the new price")
			require.InDelta(t, p.Plan.Cost.Total+r.Dearer, r.Difference.Cost.Total, 1e-6)
			require.LessOrEqual(t, r.Dearer, keeping+1e-6, "never dearer than keeping to the lists")
			for _, c := range r.Difference.Changes {
				require.GreaterOrEqual(t, c.Stop, 1, "what lies behind is bought")
			}
			said := 0
			for _, step := range r.Shelf.Steps {
				if r.Price <= orFar(step.UpTo) {
					said = step.Packs
				}
			}
			require.Equal(t, said, r.Take, "%s at %.2f: as its own steps say", x.Item, r.Price)
			if r.Take != shelf.Planned {
				require.Contains(t, r.Words[0], "instead of")
			}
			return r
		}
		if far := shelf.Steps[0].UpTo; far != nil {
			require.Zero(t, met(*far*3+0.02).Take, "%s far above %.2f", x.Item, *far)
			require.Zero(t, met(*far*1.05+0.02).Take, "%s above %.2f", x.Item, *far)
		}
		require.GreaterOrEqual(t, met(shelf.Expected/2).Take, shelf.Planned)
	}
	require.Positive(t, asked)
}

func orFar(x *float64) float64 {
	if x == nil {
		return 1e18
	}
	return *x
}

// Prices met before count for the one asked about; what else changes comes of
// planning every need again, and nothing is kept.
func TestPricesMetOneAfterTheOther(t *testing.T) {
	t.Parallel()
	s := islands(t)
	before, err := s.LastPlan(ctx, "hop")
	require.NoError(t, err)
	var bought plan.Purchase // what the plan counts on there
	for _, x := range before.Value.Plan.Purchases {
		if x.Stop == 1 && x.Packs > 0 && x.Item != "pasta_short" {
			bought = x
		}
	}
	again, err := s.LastPlan(ctx, "hop")
	require.NoError(t, err)
	note, _ := again.Value.Notes.Item(bought.Item)
	one := api.Met{Item: string(note.Item), Pack: fmt.Sprintf("%.3f %s", bought.Pack, note.Unit), Price: fmt.Sprintf("%.2f", 4*bought.Price), Currency: "EUR"}
	two := api.Met{Item: "pasta_short", Pack: "750 g", Price: "0.40"} // no pack of the plan's
	o := api.MetOptions{Stop: 1, Prices: []api.Met{one, two}, Whole: true, Budget: plan.Budget{Work: 5000}}
	both, err := s.Reprice(ctx, "hop", o)
	require.NoError(t, err)
	require.Zero(t, both.Shelf.Expected)
	require.Zero(t, both.Shelf.Planned)
	require.Positive(t, both.Take)
	require.NotNil(t, both.Whole)
	require.GreaterOrEqual(t, both.Whole.Saves, -1e-6)
	require.NotEmpty(t, both.Whole.Words)
	require.InDelta(t, both.Difference.Cost.Total-both.Whole.Saves, both.Whole.Difference.Cost.Total, 1e-6)
	alone, err := s.Reprice(ctx, "hop", api.MetOptions{Stop: 1, Prices: []api.Met{two}})
	require.NoError(t, err)
	require.Nil(t, alone.Whole)
	require.Less(t, alone.Difference.Cost.Total, both.Difference.Cost.Total, "what is dear counts")

	after, err := s.LastPlan(ctx, "hop")
	require.NoError(t, err)
	require.Equal(t, before, after)
}

// An item that is not expected at a stop can be asked for all the same.
func TestAnythingAtAnyStopAhead(t *testing.T) {
	t.Parallel()
	s := islands(t)
	kept, err := s.LastPlan(ctx, "hop")
	require.NoError(t, err)
	for stop := range kept.Value.Brief.Stops {
		x, err := s.Shelf(ctx, "hop", api.ShelfAsk{Item: "rice_white", Stop: stop, Pack: "2 kg"})
		require.NoError(t, err)
		require.Equal(t, stop, x.Stop)
		require.Equal(t, 2.0, x.Pack)
	}
	for _, wrong := range []api.ShelfAsk{{Item: "rice_white", Stop: 9}, {Item: "rice_white", Stop: -1}, {Item: "none"}} {
		_, err := s.Shelf(ctx, "hop", wrong)
		require.ErrorIs(t, err, api.ErrNotFound)
	}
	_, err = s.Shelf(ctx, "hop", api.ShelfAsk{Item: "rice_white", Pack: "a sack"})
	require.ErrorIs(t, err, api.ErrInvalid)
	for _, wrong := range []api.Met{{Item: "rice_white", Price: "dear"}, {Item: "rice_white", Price: "-1"}, {Item: "rice_white", Price: "1", Currency: "euro"}, {Item: "rice_white", Price: "1", Currency: "XTS"}} {
		_, err := s.Reprice(ctx, "hop", api.MetOptions{Prices: []api.Met{wrong}})
		require.ErrorIs(t, err, api.ErrInvalid, "%+v", wrong)
	}
	_, err = s.Reprice(ctx, "hop", api.MetOptions{})
	require.ErrorIs(t, err, api.ErrInvalid)
}
