package estimate

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
)

func TestQualityBecomesAnExpectedLoss(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	priced(&in, 3)
	add := func(n, quality int, port pricing.PortID, origin, note string) {
		r := *bought(1.5, 0.5)
		r.ID, r.Day, r.Port, r.Quality, r.Origin, r.Note = idOf(500+n), 90, port, quality, origin, note
		r.Reporter = idOf(n)
		in.Reports = append(in.Reports, r)
	}
	require.Zero(t, Fit(in).At("PTHOR", "rice", 100).Goods, "nobody said anything")
	for n := range 3 {
		add(n, 1, "PTHOR", "BR", "weevils in the bag")
	}
	add(3, 4, "PTHOR", "BR", "")
	add(4, 5, "PTHOR", "TH", "")
	for n := range 4 {
		add(10+n, 5, "PTPDL", "TH", "")
	}
	m := Fit(in)
	here, there, elsewhere := m.At("PTHOR", "rice", 100).Goods, m.At("PTPDL", "rice", 100).Goods, m.At("CVMIN", "rice", 100).Goods
	require.Equal(t, 5, here.Graded)
	require.Equal(t, 3, here.Poor)
	require.Equal(t, 3, here.Insects)
	require.Equal(t, [2]string{"BR", "TH"}, [2]string{here.Worst, here.Best})
	// By hand: item (3×0.4+0.02)/(6+9) = 0.0813; here (3×0.0813+1.22)/(3+5).
	require.InDelta(t, (3*1.22/15+1.22)/8, here.Lost, 1e-9)
	require.Less(t, there.Lost, elsewhere.Lost)
	require.Less(t, elsewhere.Lost, here.Lost)
	require.Zero(t, m.At("PTHOR", "milk", 100).Goods)
}
