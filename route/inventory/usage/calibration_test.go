package usage

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// sea is a kind of world crews are drawn from.
type sea struct {
	name   string
	gamma  bool    // crews differ as a gamma, else as a lognormal
	trips  float64 // spread between passages of one crew
	lumpy  float64 // standard deviation of the noise of meals over the square root of use over the list's rate
	spare  float64 // bought, over what the list says
	pieces bool
}

var seas = []sea{
	{name: "lognormal crews, passages 0.22", trips: 0.22, lumpy: 1, spare: 1.1},
	{name: "gamma crews, passages 0.22", gamma: true, trips: 0.22, lumpy: 1, spare: 1.1},
	{name: "steady crews", trips: 0.1, lumpy: 1, spare: 1.1},
	{name: "fickle crews", trips: 0.35, lumpy: 1, spare: 1.1},
	{name: "never run out", gamma: true, trips: 0.22, lumpy: 1, spare: 10},
	{name: "always run short", trips: 0.22, lumpy: 1, spare: 0.8},
	{name: "things in pieces", gamma: true, trips: 0.15, lumpy: 1, spare: 1.2, pieces: true},
}

func (w sea) draw(seed uint64) crew {
	r := rand.New(rand.NewPCG(seed, 77))
	c := crew{rate: lognormal(r, listRate, crewCV)}
	if w.gamma {
		shape := 1 / (crewCV * crewCV)
		c.rate = distuv.Gamma{Alpha: shape, Beta: shape / listRate, Src: r}.Rand()
	}
	unit := listRate
	if w.pieces {
		unit = 1
	}
	for range voyages {
		days := float64(2+r.IntN(4)) * (8 + 20*r.Float64())
		wanted := lognormal(r, c.rate, w.trips) * days
		if w.pieces {
			wanted = distuv.Poisson{Lambda: wanted, Src: r}.Rand()
		} else {
			wanted = max(0, wanted+w.lumpy*math.Sqrt(wanted*unit)*r.NormFloat64())
		}
		t := Trip{Used: wanted, PersonDays: days}
		if bought := listRate * days * w.spare; wanted >= bought {
			t.Used, t.RanOut = bought, true
			if w.pieces {
				t.Used = math.Floor(bought)
			}
		}
		c.trips = append(c.trips, t)
	}
	return c
}

// each is how many crews of each kind.
const each = 200

// Nominal 80 % intervals of the rate cover 77 to 83 % of true rates: over seven
// kinds of sea together after every number of passages, and in the one of the
// learning curve by itself. Run with -v for the table.
func TestIntervalsCoverWhatTheySay(t *testing.T) {
	t.Parallel()
	var mean [voyages + 1]float64
	for _, w := range seas {
		var covers [voyages + 1]float64
		for seed := range uint64(each) {
			c := w.draw(seed)
			for n := range voyages + 1 {
				low, high := Learn(ListPrior(listRate, crewCV, false, w.pieces), c.trips[:n]).Interval(0.8)
				if low <= c.rate && c.rate <= high {
					covers[n] += 1. / each
				}
			}
		}
		t.Logf("| %s | %.1f | %.1f | %.1f | %.1f | %.1f |", w.name, 100*covers[0], 100*covers[1], 100*covers[2], 100*covers[3], 100*covers[4])
		for n := range covers {
			mean[n] += covers[n] / float64(len(seas))
		}
	}
	t.Logf("| together | %.1f | %.1f | %.1f | %.1f | %.1f |", 100*mean[0], 100*mean[1], 100*mean[2], 100*mean[3], 100*mean[4])
	for n, x := range mean {
		require.InDelta(t, 0.8, x, 0.03, "after %d passages", n)
	}
}
