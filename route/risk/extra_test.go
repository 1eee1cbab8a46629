package risk

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing/item"
	"hardtack/route/plan"
	"hardtack/testdata/plantest"
)

// On one crossing with nothing else in doubt, reserves for a wished chance
// reach it, and more costs more.
func TestReservesReachTheWishedChance(t *testing.T) {
	t.Parallel()
	b := crossing()
	b.Needs[0].Items[0].Offers[0].Pack = 0.01 // so that whole packs add nothing to speak of
	b.Needs[0].Items[0].Offers[0].Price = 0.02
	d := sure(b)
	d.Legs[0], d.Needs[0].Season, d.Needs[0].Day = 0.2, 0.15, 0.5
	ms, err := Meet(context.Background(), b, d, []float64{0.8, 0.9, 0.95, 0.99}, plan.Budget{Work: 2000}, Options{Walks: 4000})
	require.NoError(t, err)
	spent := 0.0
	for _, m := range ms {
		// lacking less than 1 % of the leg's use does not count as short
		require.InDelta(t, m.Wished, m.Reached, 3.5*math.Sqrt(m.Wished*(1-m.Wished)/4000)+0.015)
		require.Greater(t, m.Spent.Mean, spent)
		require.Len(t, m.Reserve["grain"], 1)
		spent = m.Spent.Mean
	}
	_, err = Meet(context.Background(), b, d, []float64{1}, plan.Budget{}, Options{})
	require.ErrorIs(t, err, ErrInput)
}

// Rice and beans for a crossing: rice on the shelf for certain, beans every
// second time, and only at the first of two stops before it. More rice mends
// nothing; the purchase that helps is of beans, and it is priced right.
func TestTheRemedyIsFound(t *testing.T) {
	t.Parallel()
	days := []float64{100, 100, 100}
	item := func(id string, stops ...int) plan.Item {
		it := plan.Item{ID: id, Yield: 1, Litres: 1, Kg: 1, Keeps: []plan.Keep{{Space: "dry", Days: days}}}
		for _, s := range stops {
			it.Offers = append(it.Offers, plan.Offer{Stop: s, Pack: 1, Price: 2})
		}
		return it
	}
	need := func(id string, it plan.Item) plan.Need {
		return plan.Need{ID: id, Unit: "kg", UseInPort: []float64{0, 0, 0}, UseAtSea: []float64{0, 1}, MissingCost: 40, Items: []plan.Item{it}}
	}
	b := plan.Brief{Version: 1, Currency: "EUR", Start: "2027-05-29",
		Stops:   []plan.Stop{{Port: "A", TripCost: 1}, {Port: "B", Arrive: 2, Depart: 2, TripCost: 1}, {Port: "C", Arrive: 12, Depart: 12}},
		Stowage: plan.Stowage{Spaces: []plan.Space{{ID: "dry", Litres: 100}}},
		Needs:   []plan.Need{need("grain", item("rice", 0, 1)), need("pulse", item("beans", 0, 1))}}
	b.Needs[1].Items[0].Offers[1].Price = 1.9 // so that the plan waits for B
	d := sure(b)
	d.Needs[1].Items[0].Stops[1].Available = 0.5
	p := plantest.Solved(t, b, 2000)
	o := Options{Walks: 400}
	rs, err := walked(t, b, d, p, o).Remedies(context.Background(), b, d, p, o, 2)
	require.NoError(t, err)
	require.NotEmpty(t, rs)
	require.Equal(t, Extra{Need: "pulse", Item: "beans", Stop: 0, Packs: 10}, rs[0].Extra)
	require.InDelta(t, 0.5, rs[0].Before, 0.1)
	require.Zero(t, rs[0].After)
	require.InDelta(t, -400*rs[0].Before, rs[0].Shortage.Mean, 1e-6)
	// with caution the beans are bought at A: 2 for certain, against 1.90 or nothing
	c, err := Plan(context.Background(), b, d, plan.Budget{Work: 2000}, p.Bound, nil)
	require.NoError(t, err)
	require.NoError(t, plan.Verify(b, c))
	for _, x := range c.Purchases {
		if x.Item == "beans" {
			require.Zero(t, x.Stop)
		}
	}
	require.Zero(t, walked(t, b, d, c, Options{Walks: 400}).Report().Shortage.Mean)
	require.Zero(t, walked(t, b, d, p, Options{Walks: 400, Policy: Careful}).Report().Shortage.Mean, "the careful skipper sees it at the shelf")
}

// Two ports of one ship count as one, two of their own as two.
func TestOneShipIsOneChance(t *testing.T) {
	t.Parallel()
	b := plantest.Instance(t, "small-101")
	d := Usual(b)
	f, err := newField(b, d, plan.Plan{}, Careful)
	require.NoError(t, err)
	apart := f.needs[0].lastUntil(f, 1, 0.02)
	for s := range d.Supply {
		d.Supply[s] = "isles"
	}
	f, err = newField(b, d, plan.Plan{}, Careful)
	require.NoError(t, err)
	require.Greater(t, f.needs[0].lastUntil(f, 1, 0.02), apart)
	require.Equal(t, 1, f.needs[0].lastUntil(f, 1, 1))
	w := newWalker(f, 1, nil)
	for i := range 200 {
		w.begin(i)
		w.counter.open(w, 0)
		first := w.counter.baskets[0][0].factor > 0
		for s := range b.Stops {
			if w.counter.open(w, s); len(f.needs[0].items[0].offers[s]) > 0 && len(f.needs[0].items[0].offers[0]) > 0 {
				require.Equal(t, first, w.counter.baskets[0][0].factor > 0)
			}
		}
	}
}

// Planning and shopping with caution pay: against the plain plan followed
// plainly, on the same seasons, less is spent and gone without together, far
// beyond the error.
func TestCautionPays(t *testing.T) {
	t.Parallel()
	const walks = 1500 // enough to tell what caution gains from luck
	for _, name := range []string{"small-101", "small-102", "small-103"} {
		b := plantest.Instance(t, name)
		d := Usual(b)
		p := plantest.Solved(t, b, 200_000)
		c, err := Plan(context.Background(), b, d, plan.Budget{Work: 200_000}, p.Bound, nil)
		require.NoError(t, err)
		require.NoError(t, plan.Verify(b, c))
		plain := walked(t, b, d, p, Options{Walks: walks})
		for policy, label := range map[Policy]string{Waiting: "waiting", Careful: "careful"} {
			x := Compare(plain, walked(t, b, d, c, Options{Walks: walks, Policy: policy}))
			t.Logf("%s %s: spent %+.0f, short %+.0f, in all %+.0f ± %.0f", name, label, x.Spent.Mean, x.Shortage.Mean, x.Total.Mean, x.Total.Error)
			if policy == Careful {
				require.Less(t, x.Total.Mean, -4*x.Total.Error)
			}
			require.Less(t, x.Shortage.Mean, -2*x.Shortage.Error)
		}
	}
}

// islands is five stops ten days apart; gas at 3 a kg is found at each nine
// times in ten and keeps.
func islands(class float64) plan.Brief {
	days := []float64{400, 400, 400, 400, 400}
	it := plan.Item{ID: "lpg", Yield: 1, Litres: 1, Kg: 1, Keeps: []plan.Keep{{Space: "dry", Days: days}}}
	b := plan.Brief{Version: 1, Currency: "EUR", Start: "2027-05-29", Stowage: plan.Stowage{Spaces: []plan.Space{{ID: "dry", Litres: 100}}}}
	for s := range 5 {
		b.Stops = append(b.Stops, plan.Stop{Port: string(rune('A' + s)), Arrive: float64(12 * s), Depart: float64(12*s + 2)})
		it.Offers = append(it.Offers, plan.Offer{Stop: s, Pack: 0.1, Price: 0.3})
	}
	it.Aboard = []plan.Lot{{Space: "dry", Amount: 30, Expires: 400}}
	b.Needs = []plan.Need{{ID: "gas", Unit: "kg", UseInPort: []float64{0.5, 0.5, 0.5, 0.5, 0.5}, UseAtSea: []float64{1, 1, 1, 1}, MissingCost: class * 3, Items: []plan.Item{it}}}
	return b
}

// Shopped for with care, what safety hangs on runs short in at most 0.5 % of
// seasons where it can be had at all, a staple on at most 2 % of legs; shopped
// for plainly either runs short far more often.
func TestNoMoreIsLeftToChanceThanAllowed(t *testing.T) {
	t.Parallel()
	const walks = 4000
	for class, price := range map[item.Necessity]float64{item.Safety: 60, item.Staple: 15} {
		b := islands(price)
		d := Usual(b)
		require.Equal(t, class, d.Needs[0].Class)
		p := plantest.Solved(t, b, 5000)
		r := walked(t, b, d, p, Options{Walks: walks, Policy: Careful}).Report()
		plain := walked(t, b, d, p, Options{Walks: walks}).Report()
		t.Logf("%s: seasons %.2f %% (plainly %.2f), stays and legs %.2f %% (%.2f)", class,
			100*r.Classes[class].Seen, 100*plain.Classes[class].Seen, 100*r.Periods[class].Short, 100*plain.Periods[class].Short)
		if class == item.Safety {
			require.LessOrEqual(t, r.Classes[class].Low, Allowed(class))
		} else {
			require.LessOrEqual(t, r.Periods[class].Short, Allowed(class))
		}
		require.Greater(t, plain.Classes[class].Seen, 5*r.Classes[class].Seen)
		require.Less(t, r.Total.Mean, plain.Total.Mean)
		require.LessOrEqual(t, r.Periods[class].Bare, r.Periods[class].Short)
	}
}

// Where the only shelf is empty one time in four, no skipper can help it: all
// of the shortage is of what no shelf had.
func TestWhatIsOnNoShelf(t *testing.T) {
	t.Parallel()
	b := crossing()
	d := sure(b)
	d.Needs[0].Items[0].Stops[0].Available = 0.75
	r := walked(t, b, d, plantest.Solved(t, b, 1000), Options{Walks: 1000, Policy: Careful}).Report()
	require.InDelta(t, 0.25, r.Periods[item.Staple].Short, 0.06)
	require.Equal(t, r.Periods[item.Staple].Short, r.Periods[item.Staple].Bare)
}

// A careful plan is kept only where the season costs less by it.
func TestTheCarefulPlanMustPay(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	b := plantest.Instance(t, "small-101")
	plain := plantest.Solved(t, b, 50_000)
	for careful, d := range map[bool]Doubt{true: Usual(b), false: sure(b)} {
		p, err := Plan(ctx, b, Usual(b), plan.Budget{Work: 50_000}, plain.Bound, nil)
		require.NoError(t, err)
		c, err := Prefer(ctx, b, d, plain, p)
		require.NoError(t, err)
		require.Equal(t, careful, c.Careful, "%+.0f", c.Pays.Total.Mean)
		require.Equal(t, careful, c.Plan.Cost == p.Cost)
	}
	_, err := Prefer(ctx, b, Usual(crossing()), plain, plain)
	require.ErrorIs(t, err, ErrInput)
}

// What a remedy is said to do on some of the seasons it does on all of them,
// walked again with it.
func TestARemedyDoesWhatItSays(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	tried := 0
	for _, name := range []string{"small-101", "small-102", "small-103"} {
		b := plantest.Instance(t, name)
		p, d, o := plantest.Solved(t, b, 20_000), Usual(b), Options{Walks: 1500, Policy: Careful}
		without := walked(t, b, d, p, o)
		rs, err := without.Remedies(ctx, b, d, p, o, 3)
		require.NoError(t, err)
		for _, r := range rs {
			with := o
			with.Extra = []Extra{r.Extra}
			x := Compare(without, walked(t, b, d, p, with))
			require.InDelta(t, x.Shortage.Mean, r.Shortage.Mean, 4*(x.Shortage.Error+r.Shortage.Error), "%s %+v", name, r.Extra)
			require.InDelta(t, x.Spent.Mean, r.Spent.Mean, 4*(x.Spent.Error+r.Spent.Error), "%s %+v", name, r.Extra)
			require.Less(t, x.Shortage.Mean, 0.0)
			tried++
		}
	}
	require.Positive(t, tried)
}
