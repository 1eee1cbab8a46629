package estimate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

func far(in *Input) []float64 { return learn(in).alone }

// line is twenty countries of a port each on a line, ever further apart, whose
// prices go up by slope with their remoteness; from the last nobody reports.
func line(t *testing.T, slope float64) Input {
	in := shop(t, 700)
	in.Ports = nil
	at := map[pricing.PortID]float64{}
	for c := range 20 {
		id := pricing.PortID(fmt.Sprintf("X%02d", c))
		in.Ports = append(in.Ports, Port{ID: id, Country: fmt.Sprintf("X%c", 'A'+c)})
		at[id] = 3 * math.Exp(0.35*float64(c))
	}
	in.Apart = func(a, b pricing.PortID) (float64, bool) { return math.Abs(at[a] - at[b]), true }
	lonely := far(&in)
	rng := rand.New(rand.NewPCG(9, 9))
	for n := range 2000 {
		p := rng.IntN(19)
		item := in.Items[rng.IntN(3)]
		y := 1 + slope*lonely[p] + 0.1*rng.NormFloat64()
		r := *bought(math.Exp(y)*item.ListPack.Units(), item.ListPack.Units())
		r.ID, r.Item, r.Port, r.Day, r.Reporter = idOf(n), item.ID, in.Ports[p].ID, 700-calendar.Day(rng.IntN(300)), fmt.Sprint("u", rng.IntN(40))
		in.Reports = append(in.Reports, r)
	}
	return in
}

// Where remote ports are dearer, one nobody has reported from is expected to
// be; where they are not, it is not.
func TestRemotePortsAreDearerIfOthersAre(t *testing.T) {
	t.Parallel()
	over := func(slope float64) float64 {
		m := Fit(line(t, slope))
		return math.Log(m.At("X19", "rice", 700).Price / m.At("X02", "rice", 700).Price)
	}
	in := line(t, 0)
	lonely := far(&in)
	require.InDelta(t, 0, mean(lonely), 1e-12)
	require.Greater(t, lonely[19]-lonely[2], 2.0)
	require.InDelta(t, 0, over(0), 0.06)
	require.InDelta(t, 0.15*(lonely[19]-lonely[2]), over(0.15), 0.15)
}

func TestRemotenessNeedsPlaces(t *testing.T) {
	t.Parallel()
	in := line(t, 0)
	known := in.Apart
	in.Apart = func(a, b pricing.PortID) (float64, bool) {
		d, _ := known(a, b)
		return d, a != "X00" && b != "X00"
	}
	lonely := far(&in)
	require.Zero(t, lonely[0])
	require.NotZero(t, lonely[1])
	in.Apart = func(pricing.PortID, pricing.PortID) (float64, bool) { return 0, false }
	require.Nil(t, far(&in))
	in.Apart = nil
	require.Nil(t, far(&in))
	require.NotPanics(t, func() { Fit(in).At("X00", "rice", 700) })
}
