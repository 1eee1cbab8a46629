package estimate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// A gross error weighs little from the start.
func TestFirstWeightsTameGrossErrors(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	priced(&in, 3)
	gross := *bought(40, 0.5)
	gross.ID, gross.Reporter = "gross", "u1"
	in.Reports = append(in.Reports, gross)
	f := &fit{index: newIndex(&in)}
	f.standing = pricing.Standing(in.Reports, in.Day)
	f.gather(f.standing)
	f.firstWeights()
	for k := range f.sights {
		o := &f.sights[k]
		if relative := o.weight / f.crowd.weight(o.reporter); f.standing[o.source].ID == "gross" {
			require.Less(t, relative, 0.05)
		} else {
			require.Greater(t, relative, 0.6)
		}
	}
}

// The first port and item have names too.
func TestOutlooksAreNamed(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	m := Fit(in)
	port, item := m.names(&outlook{})
	require.Equal(t, pricing.PortID("CVMIN"), port)
	require.Equal(t, pricing.ItemID("egg"), item)
	port, item = m.names(&outlook{port: -1, item: -1})
	require.Empty(t, string(port)+string(item))
}

// An item without a base price is expected to cost what its category does, of
// a category without any what all do.
func TestItemsWithoutABasePrice(t *testing.T) {
	t.Parallel()
	ix := newIndex(&Input{Items: []Item{
		{ID: "a", Category: "x", BasePrice: 1}, {ID: "b", Category: "x", BasePrice: 4}, {ID: "c", Category: "x"},
		{ID: "d", Category: "y", BasePrice: 32, BaseLogSD: 0.3}, {ID: "e", Category: "z"},
	}})
	require.InDeltaSlice(t, []float64{0, math.Log(4), math.Log(2), math.Log(32), math.Log(128) / 3}, ix.expected, 1e-12)
	require.InDeltaSlice(t, []float64{0.05, 0.05, 0, 0.3, 0}, ix.spread, 1e-12)
	require.True(t, ix.informed)
}

// What cannot be used is counted.
func TestSkippedReportsAreCounted(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	for n, spoil := range []func(r *pricing.Report){
		func(*pricing.Report) {}, func(r *pricing.Report) { r.Port = "nowhere" }, func(r *pricing.Report) { r.Item = "nothing" },
		func(r *pricing.Report) { r.Paid.Currency = "XAU" },
	} {
		r := *bought(1.5, 0.5)
		r.ID = idOf(n)
		spoil(&r)
		in.Reports = append(in.Reports, r)
	}
	m := Fit(in)
	require.Equal(t, 3, m.Skipped())
	require.Equal(t, 1, m.Learned())
}

// What is not known is answered as something somewhere, not as another item or
// port, and the first item is as good as any.
func TestUnknownIDsAreSomethingSomewhere(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	priced(&in, 30)
	for n := range 20 { // eggs, the first item, are never there
		r := pricing.Report{ID: idOf(800 + n), Port: "PTHOR", Item: "egg", Day: 95, Found: pricing.FoundNone, Reporter: idOf(n), Source: pricing.Shelf}
		in.Reports = append(in.Reports, r)
	}
	m := Fit(in)
	require.Equal(t, outlook{item: -1, port: -1}, outlook{item: m.look("nowhere", "nothing", 100).item, port: m.look("nowhere", "nothing", 100).port})
	require.Equal(t, m.At("nowhere", "nothing", 100), m.At("elsewhere", "anything", 100))
	require.Equal(t, pricing.BasisGuess, m.At("PTHOR", "nothing", 100).Basis)
	require.Greater(t, m.At("PTHOR", "nothing", 100).LogSD, 2*m.At("PTHOR", "rice", 100).LogSD)
	require.Less(t, m.At("PTPDL", "egg", 100).Available, m.At("PTPDL", "milk", 100).Available-0.1)
	require.Less(t, m.At("nowhere", "egg", 100).Available, m.At("nowhere", "milk", 100).Available-0.1)
}

// Reports held back are told by id, whatever their place or day.
func TestQuestionedReportsAreInTheOrderOfIDs(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	priced(&in, 3)
	for n, id := range []string{"c", "a", "d", "b"} {
		r := *bought([]float64{15, 150, 0.15, 1500}[n], 0.5) // none confirms another
		r.ID, r.Reporter, r.Day, r.Port = id, idOf(n), 20*calendar.Day(n+1), in.Ports[n%2].ID
		in.Reports = append(in.Reports, r)
	}
	var ids []string
	for _, q := range Fit(in).Questioned() {
		ids = append(ids, q.Report)
	}
	require.Equal(t, []string{"a", "b", "c", "d"}, ids)
}
