package plan_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/route/plan"
	"hardtack/route/plan/instance"
)

// laws turn a brief into one whose optimum is known to be no higher than a
// factor times that of the brief as it was.
var laws = map[string]func(t *rapid.T, b *plan.Brief) (factor float64){
	"more room": func(t *rapid.T, b *plan.Brief) float64 {
		s := &b.Stowage.Spaces[rapid.IntRange(0, len(b.Stowage.Spaces)-1).Draw(t, "space")]
		s.Litres *= rapid.Float64Range(1, 3).Draw(t, "factor")
		return 1
	},
	"no payload": func(_ *rapid.T, b *plan.Brief) float64 { b.Stowage.PayloadKg = nil; return 1 },
	"longer keeping": func(t *rapid.T, b *plan.Brief) float64 {
		for _, k := range anItem(t, b).Keeps {
			for d := range k.Days {
				k.Days[d] += rapid.Float64Range(0, 20).Draw(t, "days")
			}
		}
		return 1
	},
	"nothing surrendered": func(t *rapid.T, b *plan.Brief) float64 { anItem(t, b).SurrenderedAt = nil; return 1 },
	"another offer": func(t *rapid.T, b *plan.Brief) float64 {
		it := anItem(t, b)
		stop := rapid.IntRange(0, len(b.Stops)-1).Draw(t, "stop")
		pack := rapid.Float64Range(0.1, 4).Draw(t, "pack")
		if !slices.ContainsFunc(it.Offers, func(o plan.Offer) bool { return o.Stop == stop && o.Pack == pack }) {
			it.Offers = append(it.Offers, plan.Offer{Stop: stop, Pack: pack, Price: rapid.Float64Range(0, 20).Draw(t, "price")})
		}
		return 1
	},
	"a lower price":   func(t *rapid.T, b *plan.Brief) float64 { anOffer(t, b).Price *= 0.5; return 1 },
	"a stronger back": func(t *rapid.T, b *plan.Brief) float64 { aStop(t, b).TripCarryKg = nil; return 1 },
	"all costs times k": func(t *rapid.T, b *plan.Brief) float64 {
		k := rapid.Float64Range(0.1, 30).Draw(t, "k")
		for s := range b.Stops {
			b.Stops[s].TripCost *= k
		}
		for i := range b.Needs {
			n := &b.Needs[i]
			n.MissingCost, n.ReserveMissingCost = n.MissingCost*k, n.ReserveMissingCost*k*(1-1e-12)
			for j := range n.Items {
				it := &n.Items[j]
				it.TasteCost, it.LineCost = it.TasteCost*k*(1-1e-12), it.LineCost*k
				for o := range it.Offers {
					it.Offers[o].Price *= k
				}
			}
		}
		return k
	},
	"another order of needs":  func(_ *rapid.T, b *plan.Brief) float64 { slices.Reverse(b.Needs); return 1 },
	"another currency's name": func(_ *rapid.T, b *plan.Brief) float64 { b.Currency = "NZD"; return 1 },
}

// A plan for the brief as it was is one for the brief under a law too, so no
// bound may be above it.
func TestLaws(t *testing.T) {
	t.Parallel()
	for name, law := range laws {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			rapid.Check(t, func(t *rapid.T) {
				seed, tight := rapid.Uint64Max(400).Draw(t, "seed"), rapid.Bool().Draw(t, "tight")
				p := solve(t, instance.Random(seed, instance.Tiny, tight), plan.Budget{Work: 400})
				b := instance.Random(seed, instance.Tiny, tight)
				factor := law(t, &b)
				q := solve(t, b, plan.Budget{Work: 400})
				require.LessOrEqual(t, q.Bound, factor*p.Cost.Total*(1+1e-6))
				if name == "another currency's name" {
					require.InDelta(t, p.Cost.Total, q.Cost.Total, 1e-9)
				}
			})
		})
	}
}
