package search

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan/internal/simplex"
)

// Packs looked for part by part cost what was said and no more than those known
// before, keep to the limits of the offers, and leave the mix where it stood.
func TestPacksLookedForPartByPartAreNoDearer(t *testing.T) {
	t.Parallel()
	better := 0
	for seed := range uint64(40) {
		x := drawMix(seed, 1)
		x.parts = 15
		m := x.seeker.m
		for k := range x.needs {
			known := x.tried(x.seeker, k, x.fitted([]int{k})[0], 1e18, -1e18)
			before, need := x.lp.Cost(), m.Needs[k]
			narrowed := x.narrow(known)
			found := narrowed.schedule
			require.InDelta(t, before, x.lp.Cost(), 1e-6*before, "seed %d", seed)
			require.Same(t, need, x.seeker.m.Needs[k])
			require.Same(t, need, m.Needs[k], "the season's own model is another")
			for _, c := range x.pool[k] {
				require.False(t, x.lp.RuledOut(c.column))
			}
			require.True(t, need.sells(found.Packs))
			cost := x.try(x.work, 1e18, func(lp *simplex.LP) { x.settleIn(lp, k, found) })
			require.LessOrEqual(t, cost, known.cost*(1+1e-9), "seed %d", seed)
			require.InEpsilon(t, narrowed.cost, cost, 1e-6, "seed %d", seed)
			if !slices.Equal(found.Packs, known.schedule.Packs) {
				better++
				require.Less(t, cost, known.cost, "seed %d", seed)
			}
		}
	}
	require.Greater(t, better, 5)
}

func TestPacksKeepToTheLimitsOfOffers(t *testing.T) {
	t.Parallel()
	n := &Need{Offers: []Offer{{Min: 1, Limit: 3}, {Limit: 2}}}
	for _, c := range []struct {
		packs []int
		keep  bool
	}{{[]int{1, 0}, true}, {[]int{3, 2}, true}, {[]int{0, 1}, false}, {[]int{4, 1}, false}, {[]int{2, 3}, false}} {
		require.Equal(t, c.keep, n.sells(c.packs), "%v", c.packs)
	}
}

// drawMix draws needs and mixes schedules of them in a part of the rooms.
func drawMix(seed uint64, rooms float64) *mixer {
	m := drawModel(rand.New(rand.NewPCG(seed, 38)), 6)
	for room := range m.Room {
		m.Room[room] *= rooms
	}
	m.prepare()
	s := newSeason(context.Background(), m, Options{Seed: seed, Work: 10_000_000, Workers: 1})
	x := s.roughMixer(s.all, newLoad(m), s.prices)
	x.generate(4, 1e-4)
	x.solve(4000)
	return x
}

// The halves of a part are of the offer whose number in the mix is nearest to a
// whole one of all that it is not sure of, hold every number once, and neither
// holds all of the mix.
func TestHalvesOfAPart(t *testing.T) {
	t.Parallel()
	halved := 0
	for seed := range uint64(40) {
		x := drawMix(seed, 0.25)
		for k, i := range x.needs {
			d := &narrower{mixer: x, k: k, whole: x.seeker.m.Needs[i]}
			likely, other, ok := d.halves(&narrowed{offer: -1})
			offers, shares := d.whole.Offers, 0.0
			means, sure := make([]float64, len(offers)), make([]bool, len(offers))
			counts := make([]map[int]float64, len(offers))
			for o := range offers {
				counts[o] = map[int]float64{}
			}
			for _, c := range x.pool[k] {
				if v := x.lp.Value(c.column); v > 1e-6 {
					shares += v
					for o, packs := range c.schedule.Packs {
						means[o] += v * float64(packs)
						counts[o][packs] += v
					}
				}
			}
			nearest := 1.0
			for o := range offers {
				if sure[o] = len(counts[o]) <= 1; !sure[o] {
					means[o] /= shares
					nearest = min(nearest, math.Abs(means[o]-math.Round(means[o])))
				}
			}
			require.Equal(t, slices.Contains(sure, false), ok, "seed %d", seed)
			if !ok {
				continue
			}
			halved++
			require.Equal(t, likely.offer, other.offer)
			o := likely.offer
			require.False(t, sure[o])
			require.InDelta(t, nearest, math.Abs(means[o]-math.Round(means[o])), 1e-9)
			low, high := likely.limits, other.limits
			if low.least > high.least {
				low, high = high, low
			}
			require.Equal(t, offers[o].Min, low.least)
			require.Equal(t, low.most+1, high.least)
			require.Equal(t, offers[o].Limit, high.most)
			below := 0.0
			for packs, v := range counts[o] {
				if packs <= low.most {
					below += v
				}
			}
			require.Greater(t, below, 1e-7)
			require.Less(t, below, shares-1e-7)

			x.own()
			d.enter(likely)
			now := x.seeker.m.Needs[i].Offers[o]
			require.Equal(t, likely.limits, between{now.Min, now.Limit})
			for _, c := range x.pool[k] {
				require.Equal(t, c.schedule.Packs[o] < likely.limits.least || c.schedule.Packs[o] > likely.limits.most, x.lp.RuledOut(c.column))
			}
			x.seeker.m.Needs[i] = d.whole
			d.rule()
		}
	}
	require.Greater(t, halved, 30)
}

// Of a few needs the one is settled that it costs least to settle, or most
// where the hard ones come first, and by what costs least of it.
func TestTheHardestNeedIsSettledOrTheEasiest(t *testing.T) {
	t.Parallel()
	for _, hard := range []bool{false, true} {
		for seed := range uint64(20) {
			x := drawMix(seed, 1)
			x.hard = hard
			few := []int{0, 1, 2, 3, 4}
			x.fitted(few)
			fits := x.fitted(few) // in a mix that what fitted before is in
			costs := make([]float64, len(few))
			for k := range few {
				costs[k] = x.tried(x.seeker, k, fits[k], math.Inf(1), math.Inf(-1)).cost
			}
			want := slices.Min(costs)
			if hard {
				want = slices.Max(costs)
			}
			x.settleTried(few)
			x.solve(4000)
			k := slices.Index(x.fixed, true)
			require.InDelta(t, want, costs[k], 1e-6*want, "seed %d hard %v", seed, hard)
			require.InDelta(t, want, x.lp.Cost(), 1e-6*want, "seed %d hard %v", seed, hard)
		}
	}
}
