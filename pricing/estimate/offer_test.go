package estimate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
)

// chain is one country of thirty ports, much reported from, whose shops put the
// first item on offer together in the weeks that end on the days named.
func chain(t *testing.T, last calendar.Day, offers map[calendar.Day]bool) Input {
	in := shop(t, last)
	in.Ports = nil
	for p := range 30 {
		in.Ports = append(in.Ports, Port{ID: pricing.PortID(fmt.Sprintf("PT%03d", p)), Country: "PT"})
	}
	rng := rand.New(rand.NewPCG(7, 7))
	for n := range 1500 {
		day := last - calendar.Day(rng.IntN(350))
		item := in.Items[rng.IntN(3)]
		y := 1 + 0.08*rng.NormFloat64()
		if item.ID == "rice" && offers[last-calendar.Day(int(last-day)/7*7)] {
			y -= 0.3
		}
		r := *bought(math.Exp(y)*item.ListPack.Units(), item.ListPack.Units())
		r.ID, r.Item, r.Day, r.Reporter, r.Port = idOf(n), item.ID, day, fmt.Sprint("u", rng.IntN(25)), in.Ports[rng.IntN(29)].ID
		in.Reports = append(in.Reports, r)
	}
	return in
}

// An offer in all shops is believed of shops nobody reported it from, for about
// as long as offers last; other things stay as they are.
func TestAnOfferIsSeenEverywhere(t *testing.T) {
	t.Parallel()
	weeks := map[calendar.Day]bool{}
	for k := 3; k < 50; k += 6 {
		weeks[700-calendar.Day(7*k)] = true
	}
	at := func(m *Model, item pricing.ItemID, day calendar.Day) float64 { return m.At("PT029", item, day).Price }
	plain := Fit(chain(t, 700, weeks))
	weeks[700] = true
	m := Fit(chain(t, 700, weeks))
	require.InDelta(t, -0.3, math.Log(at(m, "rice", 700)/at(plain, "rice", 700)), 0.1)
	require.InDelta(t, 0, math.Log(at(m, "milk", 700)/at(plain, "milk", 700)), 0.03)
	require.InDelta(t, 0, math.Log(at(m, "rice", 760)/at(plain, "rice", 760)), 0.06)
	for _, p := range m.Explain("PT029", "rice").Pulls {
		if p.Name == "item in this country this week" {
			require.Less(t, p.Factor, 0.9)
		}
	}
}

// Items of which little is known week by week are not followed so.
func TestFewReportsMakeNoOffers(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	priced(&in, 3)
	in.Reports = in.Reports[:offerLeast-1]
	f := learn(&in)
	require.Nil(t, f.offered)
	require.Zero(t, f.offers.at(f.offerOf(0, 0), 90))
	in.Items = append(in.Items, Item{ID: "salt", Category: "staple", Unit: measure.Kilogram, ListPack: measure.One})
	require.Nil(t, learn(&in).offered)
}
