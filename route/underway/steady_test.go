package underway

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
	"hardtack/testdata/plantest"
)

// edited is a brief from stop 1 on with what the plan has aboard, and an edit.
type edited struct {
	name string
	edit func(*testing.T, *plan.Brief)
}

func edits() []edited {
	scale := func(b *plan.Brief, by float64) {
		for n := range b.Needs {
			need := &b.Needs[n]
			for s := range need.UseInPort {
				need.UseInPort[s] *= by
			}
			for l := range need.UseAtSea {
				need.UseAtSea[l] *= by
			}
		}
	}
	return []edited{
		{"nothing", func(*testing.T, *plan.Brief) {}},
		{"prices a little off", func(_ *testing.T, b *plan.Brief) {
			r := rand.New(rand.NewPCG(3, 3))
			offers(b, func(o *plan.Offer) bool { o.Price *= 1 + 0.02*r.NormFloat64(); return true })
		}},
		{"sails three days later", func(_ *testing.T, b *plan.Brief) {
			for s := range b.Stops {
				b.Stops[s].Depart += 3
				if s > 0 {
					b.Stops[s].Arrive += 3
				}
			}
		}},
		{"a stop dropped", func(_ *testing.T, b *plan.Brief) {
			offers(b, func(o *plan.Offer) bool { return o.Stop != 1 })
		}},
		{"a guest joins", func(_ *testing.T, b *plan.Brief) { scale(b, 1.25) }},
		{"the fridge fails", func(t *testing.T, b *plan.Brief) {
			lost, err := Lose(*b, "fridge")
			require.NoError(t, err)
			*b = lost
		}},
		{"a third is gone at the count", func(_ *testing.T, b *plan.Brief) {
			for n := range b.Needs {
				for i := range b.Needs[n].Items {
					for k := range b.Needs[n].Items[i].Aboard {
						b.Needs[n].Items[i].Aboard[k].Amount *= 2.0 / 3
					}
				}
			}
		}},
	}
}

func offers(b *plan.Brief, keep func(*plan.Offer) bool) {
	for n := range b.Needs {
		for i := range b.Needs[n].Items {
			it := &b.Needs[n].Items[i]
			var kept []plan.Offer
			for _, o := range it.Offers {
				if keep(&o) {
					kept = append(kept, o)
				}
			}
			it.Offers = kept
		}
	}
}

// copyOf is a brief that shares nothing that edits change.
func copyOf(b plan.Brief) plan.Brief {
	out := b
	out.Stops = append([]plan.Stop{}, b.Stops...)
	out.Needs = nil
	for _, n := range b.Needs {
		n.UseInPort, n.UseAtSea = append([]float64{}, n.UseInPort...), append([]float64{}, n.UseAtSea...)
		items := n.Items
		n.Items = nil
		for _, it := range items {
			it.Offers = append([]plan.Offer{}, it.Offers...)
			it.Aboard = append([]plan.Lot{}, it.Aboard...)
			n.Items = append(n.Items, it)
		}
		out.Needs = append(out.Needs, n)
	}
	return out
}

// After every edit the plan keeps the rules, costs within 0.5 % of the best
// found, and moves no more money than planning afresh does; where nothing was
// changed it changes nothing.
func TestPlansStaySteady(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	for _, name := range []string{"small-101", "small-102", "small-103"} {
		b := plantest.Instance(t, name)
		p := plantest.Solved(t, b, 400_000)
		now := Now{Day: b.Stops[1].Arrive}
		held, err := Aboard(b, p, now)
		require.NoError(t, err)
		rest, match, err := Rest(b, now, held)
		require.NoError(t, err)
		for _, e := range edits() {
			t.Run(name+" "+e.name, func(t *testing.T) {
				t.Parallel()
				b := copyOf(rest)
				e.edit(t, &b)
				accepted := Orders(b, match, p)
				budget := plan.Budget{Work: 40_000}
				s, err := Replan(ctx, b, accepted, Options{Budget: budget})
				require.NoError(t, err)
				require.NoError(t, plan.Verify(b, s.Plan))
				require.LessOrEqual(t, s.Plan.Cost.Total, s.Best*(1+Within)+1e-9)
				free, err := plan.Solve(ctx, b, budget, nil)
				require.NoError(t, err)
				require.InEpsilon(t, free.Cost.Total, s.Best, 0.02)
				require.LessOrEqual(t, s.Best, s.Plan.Cost.Total*(1+1e-9))
				fresh := Moved(b, accepted, free)
				require.LessOrEqual(t, s.Moved, fresh+1e-9)
				d := Differ(b, s, match, p, 1, Plainly(b))
				require.InDelta(t, s.Moved, movedOf(b, d), 1e-6*(1+s.Moved))
				if e.name == "nothing" {
					require.LessOrEqual(t, s.Moved, 0.02*free.Cost.Goods)
				} else {
					require.NotEmpty(t, d.Words)
				}
				t.Logf("%-30s kept %.0f best %.0f steady %.0f moved %.0f afresh %.0f of %.0f", t.Name()[20:], s.Kept.Total, s.Best, s.Plan.Cost.Total, s.Moved, fresh, free.Cost.Goods)
			})
		}
	}
}

func movedOf(b plan.Brief, d Difference) float64 {
	sum := 0.0
	for _, c := range d.Changes {
		it := itemOf(&b, c.Item)
		x := c.After - c.Before
		if x < 0 {
			x = -x
		}
		sum += x * unitPrice(*it, c.Stop)
	}
	return sum
}

// Stopped at any time, it gives a plan that keeps the rules.
func TestReplanningStopped(t *testing.T) {
	t.Parallel()
	b := plantest.Instance(t, "small-101")
	for better := range 4 {
		ctx, stop := context.WithCancel(context.Background())
		if better == 0 {
			stop()
		}
		told := 0
		s, err := Replan(ctx, b, nil, Options{Budget: plan.Budget{Work: 40_000}, Better: func(plan.Plan) {
			if told++; told == better {
				stop()
			}
		}})
		stop()
		require.NoError(t, err)
		require.NoError(t, plan.Verify(b, s.Plan))
		require.LessOrEqual(t, s.Plan.Cost.Total, s.Best*(1+Within)+1e-9)
	}
}

// Only plans that keep the rules of the brief are chosen from.
func TestPlansThatBreakTheRulesDoNotCount(t *testing.T) {
	t.Parallel()
	b := plantest.Instance(t, "tiny-101")
	p := plantest.Solved(t, b, 5000)
	r := &replanner{brief: b}
	r.add(p)
	require.Len(t, r.plans, 1)
	stowed := slices.IndexFunc(p.Purchases, func(x plan.Purchase) bool { return len(x.Stowed) > 0 })
	p.Purchases = slices.Clone(p.Purchases)
	p.Purchases[stowed].Packs = 0 // stows what it does not buy
	r.add(p)
	p.Purchases[stowed].Pack = 0.123 // is not offered
	r.add(p)
	require.Len(t, r.plans, 1)
}

// What has been bought must be bought, whatever the best plan thinks of it.
func TestWhatMustBeBoughtStays(t *testing.T) {
	t.Parallel()
	b := plantest.Instance(t, "tiny-101")
	o := &b.Needs[0].Items[0].Offers[0]
	o.Min = 3
	if o.Limit != nil {
		o.Min = min(3, *o.Limit)
	}
	s, err := Replan(context.Background(), b, nil, Options{Budget: plan.Budget{Work: 5000}})
	require.NoError(t, err)
	require.GreaterOrEqual(t, amountAt(s.Plan, b.Needs[0].Items[0].ID, o.Stop), float64(o.Min)*o.Pack-1e-9)
}

func TestStopsAreMatched(t *testing.T) {
	t.Parallel()
	at := func(start string, ports ...string) plan.Brief {
		b := plan.Brief{Start: start}
		for i, p := range ports {
			b.Stops = append(b.Stops, plan.Stop{Port: p, Arrive: float64(10 * i), Depart: float64(10 * i)})
		}
		return b
	}
	for _, tt := range []struct {
		name         string
		newer, older plan.Brief
		want         []int
	}{
		{"the same", at("2027-05-01", "A", "B", "C"), at("2027-05-01", "A", "B", "C"), []int{0, 1, 2}},
		{"some behind", at("2027-05-11", "B", "C"), at("2027-05-01", "A", "B", "C"), []int{1, 2}},
		{"one dropped", at("2027-05-01", "A", "C"), at("2027-05-01", "A", "B", "C"), []int{0, 2}},
		{"one new", at("2027-05-01", "A", "X", "B", "C"), at("2027-05-01", "A", "B", "C"), []int{0, -1, 1, 2}},
		{"called at twice, the later date", at("2027-05-21", "A", "C"), at("2027-05-01", "A", "B", "A", "C"), []int{2, 3}},
		{"nothing in common", at("2027-05-01", "X", "Y"), at("2027-05-01", "A", "B"), []int{-1, -1}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			require.Equal(t, tt.want, Match(tt.newer, tt.older))
		})
	}
}

// What is ordered is what the plan buys, in the packs that are sold now.
func TestOrdersAreCarriedOver(t *testing.T) {
	t.Parallel()
	b := plan.Brief{Stops: make([]plan.Stop, 3), Needs: []plan.Need{{Items: []plan.Item{
		{ID: "rice", Offers: []plan.Offer{{Stop: 0, Pack: 1, Price: 2}, {Stop: 0, Pack: 5, Price: 9}, {Stop: 2, Pack: 1, Price: 2}}},
		{ID: "oats", Offers: []plan.Offer{{Stop: 2, Pack: 1, Price: 4}, {Stop: 2, Pack: 3, Price: 9}, {Stop: 2, Pack: 2, Price: 6}}}}},
		{Items: []plan.Item{{ID: "tea"}}}}}
	p := plan.Plan{Purchases: []plan.Purchase{
		{Stop: 1, Item: "rice", Pack: 1, Packs: 2}, {Stop: 1, Item: "rice", Pack: 1, Packs: 1}, {Stop: 1, Item: "rice", Pack: 0.7, Packs: 4},
		{Stop: 2, Item: "rice", Pack: 1, Packs: 9}, {Stop: 3, Item: "oats", Pack: 0.5, Packs: 13}, {Stop: 3, Item: "tea", Pack: 1, Packs: 1}}}
	require.Equal(t, []Order{{"rice", 0, 1, 3}, {"oats", 2, 3, 3}}, Orders(b, []int{1, -1, 3}, p))
}

// Of the plans within half a percent of the cheapest the one that moves least is chosen.
func TestTheNearestAffordablePlanIsChosen(t *testing.T) {
	t.Parallel()
	b := plantest.Instance(t, "tiny-101")
	p := plantest.Solved(t, b, 5000)
	x := p.Purchases[0]
	b = b.WithOffers(func(_, item string, o *plan.Offer) {
		if o.Limit = nil; item == x.Item && o.Stop == x.Stop && o.Pack == x.Pack {
			o.Price = p.Cost.Total / 1000
		}
	})
	r := &replanner{brief: b, orders: []Order{{x.Item, x.Stop, x.Pack, x.Packs + 9}}, bound: 1}
	for _, more := range []int{8, 4, 0, 3} { // packs; each a thousandth of the season
		q := p
		q.Purchases = slices.Clone(p.Purchases)
		q.Purchases[0].Packs += more
		r.add(q)
	}
	require.Len(t, r.plans, 4)
	s, err := r.choose()
	require.NoError(t, err)
	require.Equal(t, r.plans[2].Cost.Total, s.Best)
	require.Equal(t, x.Packs+4, s.Plan.Purchases[0].Packs)
	require.Equal(t, 1.0, s.Plan.Bound)
}

// Half its life in the fridge gone is half its life in the locker gone.
func TestAFailedFridge(t *testing.T) {
	t.Parallel()
	b := plan.Brief{Stowage: plan.Stowage{Spaces: []plan.Space{{ID: "dry", Litres: 10}, {ID: "fridge", Litres: 10}}},
		Needs: []plan.Need{{Items: []plan.Item{
			{ID: "cheese", Keeps: []plan.Keep{{Space: "dry", Days: []float64{10}}, {Space: "fridge", Days: []float64{40}}},
				Aboard: []plan.Lot{{Space: "fridge", Amount: 1, Expires: 20}, {Space: "dry", Amount: 1, Expires: 7}}},
			{ID: "mince", Keeps: []plan.Keep{{Space: "dry", Days: []float64{0}}, {Space: "fridge", Days: []float64{2}}},
				Aboard: []plan.Lot{{Space: "fridge", Amount: 1, Expires: 2}}},
			{ID: "ice", Keeps: []plan.Keep{{Space: "fridge", Days: []float64{9}}}, Aboard: []plan.Lot{{Space: "fridge", Amount: 1, Expires: 9}}},
		}}}}
	lost, err := Lose(b, "fridge")
	require.NoError(t, err)
	require.Zero(t, lost.Stowage.Spaces[1].Litres)
	items := lost.Needs[0].Items
	require.Equal(t, []plan.Lot{{Space: "dry", Amount: 1, Expires: 5}, {Space: "dry", Amount: 1, Expires: 7}}, items[0].Aboard)
	require.Equal(t, []plan.Lot{{Space: "dry", Amount: 1, Expires: 0}}, items[1].Aboard)
	require.Empty(t, items[2].Aboard)
	require.Equal(t, 10.0, b.Stowage.Spaces[1].Litres, "the brief given is left as it was")
	_, err = Lose(b, "attic")
	require.ErrorIs(t, err, ErrInput)
}
