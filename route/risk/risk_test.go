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

func walked(t testing.TB, b plan.Brief, d Doubt, p plan.Plan, o Options) *Walked {
	t.Helper()
	w, err := Walk(context.Background(), b, d, p, o)
	require.NoError(t, err)
	return w
}

// sure is no doubt at all.
func sure(b plan.Brief) Doubt {
	d := Usual(b)
	clear(d.Legs)
	for n := range d.Needs {
		d.Needs[n].Season, d.Needs[n].Day = 0, 0
		for i := range d.Needs[n].Items {
			d.Needs[n].Items[i].Life = 0
			for s := range d.Needs[n].Items[i].Stops {
				d.Needs[n].Items[i].Stops[s] = OfferDoubt{Available: 1}
			}
		}
	}
	return d
}

// crossing is two stops and a leg of 20 days between; rice at 2 a kg, 1 a day.
func crossing() plan.Brief {
	days := []float64{100, 100}
	return plan.Brief{Version: 1, Currency: "EUR", Start: "2027-05-29",
		Stops:   []plan.Stop{{Port: "A", TripCost: 10}, {Port: "B", Arrive: 20, Depart: 20}},
		Stowage: plan.Stowage{Spaces: []plan.Space{{ID: "dry", Litres: 100}}},
		Needs: []plan.Need{{ID: "grain", Unit: "kg", UseInPort: []float64{0, 0}, UseAtSea: []float64{1}, MissingCost: 24,
			ReserveMissingCost: 2, Items: []plan.Item{{ID: "rice", Yield: 1, Litres: 1, Kg: 1, Keeps: []plan.Keep{{Space: "dry", Days: days}},
				Offers: []plan.Offer{{Stop: 0, Pack: 1, Price: 2}}}}}}}
}

// Where nothing is in doubt, the plan is what happens: within rounding on a
// hand-made brief, within 3 % of its cost on random ones, 5 % on tiny ones (the skipper eats
// and fills up by simple rules).
func TestNoDoubtNoChange(t *testing.T) {
	t.Parallel()
	for name, slack := range map[string]float64{"tiny-101": 0.05, "tiny-102": 0.05, "tiny-103": 0.05, "small-101": 0.03, "season-102": 0.03} {
		b := plantest.Instance(t, name)
		p := plantest.Solved(t, b, 100_000)
		for _, policy := range []Policy{Plain, Waiting, Careful} {
			r := walked(t, b, sure(b), p, Options{Walks: 1, Policy: policy}).Report()
			require.InEpsilon(t, p.Cost.Total, r.Total.Mean, slack, "%s, policy %d", name, policy)
		}
	}
	b := crossing()
	r := walked(t, b, sure(b), plantest.Solved(t, b, 1000), Options{Walks: 3}).Report()
	require.InDelta(t, 50, r.Total.P50, 1e-6)
	require.Zero(t, r.Needs[0].Short.Seen)
}

// A passage lognormal about 20 days with 0.2 outlasts 20 days every second
// time, and 25 days with probability 1 − Φ(ln 1.25 / 0.2) = 0.1323.
func TestTheChanceOfALongPassage(t *testing.T) {
	t.Parallel()
	for reserve, want := range map[float64]float64{0: 0.5, 5: 0.1323} {
		b := crossing()
		b.Stops[0].ReserveDays = reserve
		d := sure(b)
		d.Legs[0] = 0.2
		r := walked(t, b, d, plantest.Solved(t, b, 1000), Options{}).Report()
		short := r.Needs[0].Short
		require.Less(t, math.Abs(short.Seen-want), 3.5*math.Sqrt(want*(1-want)/2000)+0.02) // lacking under 1 % is none
		require.Len(t, r.Needs[0].Periods, 1)
		require.Equal(t, PeriodRisk{Leg: true, Stop: 0, Short: short}, r.Needs[0].Periods[0])
		require.Equal(t, 10+2*(20+reserve), r.Spent.P50)
	}
}

// Rice found at A three times in four: else all of it is lacking.
func TestTheChanceOfAnEmptyShelf(t *testing.T) {
	t.Parallel()
	b := crossing()
	d := sure(b)
	d.Needs[0].Items[0].Stops[0].Available = 0.75
	r := walked(t, b, d, plantest.Solved(t, b, 1000), Options{Walks: 4000}).Report()
	require.InDelta(t, 0.25, r.Needs[0].Short.Seen, 4*math.Sqrt(0.25*0.75/4000))
	require.InDelta(t, 20*r.Needs[0].Short.Seen, r.Needs[0].Lacking, 1e-9)
	require.LessOrEqual(t, r.Needs[0].Short.Low, r.Needs[0].Short.Seen)
	require.Equal(t, r.Needs[0].Short, r.Classes[item.Staple]) // 24 is twelve median prices
}

func TestWorkersDoNotMatter(t *testing.T) {
	t.Parallel()
	b := plantest.Instance(t, "small-102")
	p, d := plantest.Solved(t, b, 20_000), Usual(b)
	one := walked(t, b, d, p, Options{Walks: 60, Workers: 1, Seed: 5, Policy: Careful})
	require.Equal(t, one.Report(), walked(t, b, d, p, Options{Walks: 60, Workers: 7, Seed: 5, Policy: Careful}).Report())
	require.NotEqual(t, one.Report(), walked(t, b, d, p, Options{Walks: 60, Seed: 6, Policy: Careful}).Report())
}

// More is met by more doubt, never by less: seasons with the same draws and
// twice the spread of passages run short at least as often.
func TestMoreDoubtMoreShortage(t *testing.T) {
	t.Parallel()
	b := plantest.Instance(t, "small-101")
	p, d := plantest.Solved(t, b, 20_000), sure(b)
	last := -1.0
	for _, sd := range []float64{0, 0.05, 0.1, 0.2, 0.4} {
		for l := range d.Legs {
			d.Legs[l] = sd
		}
		cost := walked(t, b, d, p, Options{Walks: 500}).Report().Shortage.Mean
		require.GreaterOrEqual(t, cost, last)
		last = cost
	}
}

func TestWhatDoesNotFitIsRefused(t *testing.T) {
	t.Parallel()
	b := crossing()
	p := plantest.Solved(t, b, 1000)
	for name, spoil := range map[string]func(*plan.Brief, *Doubt, *plan.Plan, *Options){
		"a leg too many":          func(_ *plan.Brief, d *Doubt, _ *plan.Plan, _ *Options) { d.Legs = append(d.Legs, 0.1) },
		"a boat that never comes": func(_ *plan.Brief, d *Doubt, _ *plan.Plan, _ *Options) { d.Drift = math.Inf(1) },
		"no number":               func(_ *plan.Brief, d *Doubt, _ *plan.Plan, _ *Options) { d.Legs[0] = math.NaN() },
		"more than sure":          func(_ *plan.Brief, d *Doubt, _ *plan.Plan, _ *Options) { d.Needs[0].Items[0].Stops[0].Available = 1.1 },
		"an item less":            func(_ *plan.Brief, d *Doubt, _ *plan.Plan, _ *Options) { d.Needs[0].Items = nil },
		"another item":            func(_ *plan.Brief, _ *Doubt, p *plan.Plan, _ *Options) { p.Purchases[0].Item = "bread" },
		"a stop beyond":           func(_ *plan.Brief, _ *Doubt, p *plan.Plan, _ *Options) { p.Purchases[0].Stop = 7 },
		"an unknown space":        func(_ *plan.Brief, _ *Doubt, p *plan.Plan, _ *Options) { p.Purchases[0].Stowed[0].Space = "attic" },
		"extra that is not sold":  func(_ *plan.Brief, _ *Doubt, _ *plan.Plan, o *Options) { o.Extra = []Extra{{"grain", "rice", 1, 1}} },
		"extra of less than none": func(_ *plan.Brief, _ *Doubt, _ *plan.Plan, o *Options) { o.Extra = []Extra{{"grain", "rice", 0, -1}} },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			b, d, o := crossing(), Usual(crossing()), Options{Walks: 1}
			p := plantest.Solved(t, b, 1000)
			spoil(&b, &d, &p, &o)
			_, err := Walk(context.Background(), b, d, p, o)
			require.ErrorIs(t, err, ErrInput)
		})
	}
	b.Needs[0].Items[0].Yield = 0
	_, err := Walk(context.Background(), b, Usual(b), p, Options{})
	require.ErrorIs(t, err, plan.ErrMalformed)
	ended, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = Walk(ended, crossing(), Usual(crossing()), p, Options{})
	require.ErrorIs(t, err, context.Canceled)
}

// Thirty days counted at 20 % above the list, one day varying by 0.5 and crews
// by 0.25: k = 4, z = 30/34. By hand.
func TestCountsTeach(t *testing.T) {
	t.Parallel()
	var x tally
	require.Equal(t, 1.0, x.factor(0.25, 0.5))
	x.add(2, 2.4, 30)
	require.InDelta(t, 1+0.2*30/34, x.factor(0.25, 0.5), 1e-12)
	require.Equal(t, 1.0, x.factor(0, 0.5), "a crew that is known needs no teaching")
	require.InDelta(t, 1.2, x.factor(0.25, 0), 1e-12)
}

// A boat that took a fifth longer than planned four times is believed to be
// slow by half of that in the logarithm, runs short oftener for it, and spreads
// less than one that is sometimes late and sometimes early.
func TestPassagesMadeAreLearned(t *testing.T) {
	t.Parallel()
	b := crossing()
	p := plantest.Solved(t, b, 1000)
	usual, slow, odd := sure(b), sure(b), sure(b)
	for _, d := range []*Doubt{&usual, &slow, &odd} {
		d.Legs[0] = 0.2
	}
	slow.learn([]Passage{{10, 12}, {20, 24}, {5, 6}, {3, 3.6}, {0, 4}})
	odd.learn([]Passage{{10, 15}, {20, 14}, {5, 7.5}, {3, 2.1}})
	require.InDelta(t, math.Log(1.2)/2, slow.Drift, 1e-12)
	require.Less(t, slow.Legs[0], odd.Legs[0])
	short := func(d Doubt) float64 { return walked(t, b, d, p, Options{}).Report().Needs[0].Short.Seen }
	require.Greater(t, short(slow), short(usual)+0.1)
	untaught := usual
	untaught.learn(nil)
	require.InDelta(t, 0.2, untaught.Legs[0], 1e-12)
	require.Zero(t, untaught.Drift)
}
