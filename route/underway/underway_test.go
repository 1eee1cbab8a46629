package underway

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
	"hardtack/testdata/plantest"
)

// Restating a plan by its own brief changes nothing, and the referee agrees.
func TestRestateAgreesWithTheReferee(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"tiny-101", "tiny-102", "tiny-103", "small-101", "small-102", "small-103", "season-101"} {
		b := plantest.Instance(t, name)
		p := plantest.Solved(t, b, 20_000)
		again, err := Restate(b, p, p.Bound)
		require.NoError(t, err)
		require.NoError(t, plan.Verify(b, again), name)
		require.InEpsilon(t, p.Cost.Total, again.Cost.Total, 1e-6)
		for n := range b.Needs { // dearer by a half: goods by a half, the rest as it was
			for i := range b.Needs[n].Items {
				for o := range b.Needs[n].Items[i].Offers {
					b.Needs[n].Items[i].Offers[o].Price *= 1.5
				}
			}
		}
		dearer, err := Restate(b, p, 0)
		require.NoError(t, err)
		require.NoError(t, plan.Verify(b, dearer), name)
		require.InEpsilon(t, p.Cost.Total+p.Cost.Goods/2, dearer.Cost.Total, 1e-6)
	}
}

// The rest of a season with what the plan has aboard then costs what the plan
// costs from there on: the old plan's rest is a plan for it, so the best is no
// dearer, and what is spent before and after makes the whole.
func TestRestOfTheSeason(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"small-101", "small-102", "small-104"} {
		b := plantest.Instance(t, name)
		p := plantest.Solved(t, b, 200_000)
		for s := 1; s < len(b.Stops)-1; s++ {
			now := Now{Day: b.Stops[s].Arrive}
			held, err := Aboard(b, p, now)
			require.NoError(t, err)
			rest, from, err := Rest(b, now, held)
			require.NoError(t, err)
			require.Equal(t, s, from[0])
			require.Len(t, rest.Stops, len(b.Stops)-s)
			q := plantest.Solved(t, rest, 200_000)
			// the cost of the old plan from stop s on
			ahead := p.Cost.Total - costBefore(b, p, s)
			require.LessOrEqual(t, q.Bound, ahead*(1+1e-6)+1e-6, "%s from stop %d", name, s)
			require.InDelta(t, ahead, q.Cost.Total, 0.03*p.Cost.Total, "%s from stop %d", name, s)
		}
	}
}

// costBefore is what a plan costs up to the arrival at a stop.
func costBefore(b plan.Brief, p plan.Plan, stop int) float64 {
	cost := 0.0
	yield := map[string]float64{}
	for _, n := range b.Needs {
		for _, it := range n.Items {
			yield[it.ID] = it.TasteCost
			for _, x := range p.Purchases {
				if x.Item == it.ID && x.Stop < stop {
					cost += float64(x.Packs)*x.Price + x.EatenInPort*it.TasteCost
					if len(x.Stowed) > 0 && firstOf(p, x) {
						cost += it.LineCost
					}
				}
			}
		}
		for _, m := range p.Missing {
			if q, _ := periodOf(m.Period); m.Need == n.ID && q < 2*stop {
				cost += m.Amount * n.MissingCost
			}
		}
		for _, m := range p.ReserveMissing {
			if m.Need == n.ID && m.Leg < stop {
				cost += m.Amount * n.ReserveMissingCost
			}
		}
	}
	for _, d := range p.Draws {
		if q, _ := periodOf(d.Period); q < 2*stop {
			cost += d.Amount * yield[d.Item]
		}
	}
	for _, t := range p.Trips {
		if t.Stop < stop {
			cost += float64(t.Count) * b.Stops[t.Stop].TripCost
		}
	}
	return cost
}

func firstOf(p plan.Plan, x plan.Purchase) bool {
	for _, y := range p.Purchases {
		if y.Item == x.Item && y.Stop == x.Stop && len(y.Stowed) > 0 {
			return y.ID == x.ID
		}
	}
	return false
}

// Half way along a leg half its use is eaten, and the rest brief begins with
// the half that is left and no shop.
func TestRestAtSea(t *testing.T) {
	t.Parallel()
	days := []float64{100, 100, 100}
	b := plan.Brief{Version: 1, Currency: "EUR", Start: "2027-05-29",
		Stops:   []plan.Stop{{Port: "A", TripCost: 10}, {Port: "B", Arrive: 20, Depart: 22}, {Port: "C", Arrive: 30, Depart: 30}},
		Stowage: plan.Stowage{Spaces: []plan.Space{{ID: "dry", Litres: 100}}},
		Needs: []plan.Need{{ID: "grain", Unit: "kg", UseInPort: []float64{0, 1, 0}, UseAtSea: []float64{1, 1}, MissingCost: 24,
			ReserveMissingCost: 2, Items: []plan.Item{{ID: "rice", Yield: 1, Litres: 1, Kg: 1, Keeps: []plan.Keep{{Space: "dry", Days: days}},
				Offers: []plan.Offer{{Stop: 0, Pack: 1, Price: 2}}}}}}}
	p := plantest.Solved(t, b, 2000)
	now := Now{Day: 10}
	held, err := Aboard(b, p, now)
	require.NoError(t, err)
	require.Len(t, held, 1)
	require.InDelta(t, 20, held[0].Amount, 1e-6)
	for day, left := range map[float64]float64{0: 30, 5: 25, 20: 10, 21: 9, 24: 6, 26: 4} {
		later, err := Aboard(b, p, Now{Day: day, Bought: true})
		require.NoError(t, err)
		require.Len(t, later, 1)
		require.InDelta(t, left, later[0].Amount, 1e-6, "day %g", day)
	}
	rest, from, err := Rest(b, now, held)
	require.NoError(t, err)
	require.Equal(t, []int{0, 1, 2}, from)
	require.Equal(t, "2027-06-08", rest.Start)
	require.Equal(t, 10.0, rest.Stops[1].Arrive)
	require.Empty(t, rest.Needs[0].Items[0].Offers)
	require.Zero(t, plantest.Solved(t, rest, 2000).Cost.Total)
	_, _, err = Rest(b, Now{Day: 31}, nil)
	require.ErrorIs(t, err, ErrInput)
	_, _, err = Rest(b, Now{Day: 30}, nil)
	require.ErrorIs(t, err, ErrInput)
	_, _, err = Rest(b, now, []Held{{Item: "bread"}})
	require.ErrorIs(t, err, ErrInput)
	_, err = Aboard(b, p, Now{Day: -1})
	require.ErrorIs(t, err, ErrInput)
}

// What has expired, was taken away, left behind or not bought yet is not aboard.
func TestWhatIsNoLongerAboard(t *testing.T) {
	t.Parallel()
	b := plan.Brief{Stops: []plan.Stop{{}, {Arrive: 20, Depart: 22}, {Arrive: 30, Depart: 30}},
		Needs: []plan.Need{{ID: "fruit", Items: []plan.Item{
			{ID: "apples", SurrenderedAt: []int{2, 1}, Keeps: []plan.Keep{{Space: "net", Days: []float64{90, 90, 90}}},
				Aboard: []plan.Lot{{Space: "net", Amount: 1, Expires: 90}}},
			{ID: "limes", Keeps: []plan.Keep{{Space: "dry", Days: []float64{1, 1, 1}}, {Space: "net", Days: []float64{5, 6, 7}}}},
			{ID: "raisins", Aboard: []plan.Lot{{Space: "dry", Amount: 2, Expires: 25}}}}}}}
	p := plan.Plan{
		Purchases: []plan.Purchase{{ID: "p1", Stop: 1, Need: "fruit", Item: "limes", Stowed: []plan.Stowed{{Space: "net", Amount: 3}}}},
		Discards:  []plan.Discard{{Item: "raisins", Lot: "aboard 0", Space: "dry", Stop: 1, Amount: 0.5}},
		Draws: []plan.Draw{{Need: "fruit", Item: "raisins", Lot: "aboard 0", Space: "dry", Period: "stay 1", Amount: 1},
			{Need: "fruit", Item: "raisins", Lot: "p9", Space: "dry", Period: "stay 1", Amount: 1}},
	}
	apples, limes := Held{"fruit", "apples", "net", 1, 90}, Held{"fruit", "limes", "net", 3, 28}
	raisins := func(left float64) Held { return Held{"fruit", "raisins", "dry", left, 25} }
	for _, tt := range []struct {
		name string
		now  Now
		want []Held
	}{
		{"before anything is bought", Now{Day: 0}, []Held{apples, raisins(2)}},
		{"at sea", Now{Day: 19}, []Held{apples, raisins(2)}},
		{"apples are taken away on arrival", Now{Day: 20}, []Held{raisins(2)}},
		{"half the stay behind", Now{Day: 21}, []Held{raisins(1.5)}},
		{"with its shopping done", Now{Day: 21, Bought: true}, []Held{limes, raisins(1)}},
		{"the stay over, its shopping not", Now{Day: 22}, []Held{raisins(1)}},
		{"at sea again", Now{Day: 23}, []Held{limes, raisins(0.5)}},
		{"raisins have expired", Now{Day: 25}, []Held{limes}},
		{"all has", Now{Day: 28}, nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			held, err := Aboard(b, p, tt.now)
			require.NoError(t, err)
			require.ElementsMatch(t, tt.want, held)
		})
	}
}
