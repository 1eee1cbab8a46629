package ahead

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/route"
	"hardtack/route/geo"
	"hardtack/route/port"
	"hardtack/route/vessel"
)

type portList map[pricing.PortID]port.Port

func (l portList) Port(id pricing.PortID) (port.Port, bool) {
	p, ok := l[id]
	return p, ok
}

func rate(c money.Currency) (float64, calendar.Day, error) {
	if c == "GBP" {
		return 0.5, 1, nil
	}
	return 1, 1, nil
}

// question is put at the first of four stops a hundred miles and ten days
// apart. Onions keep 90 days in the net; the second port has no shop.
func question() Input {
	ninety, year := 90.0, 365.0
	onion := item.Item{ID: "onion", Name: "Onion", Unit: measure.Kilogram, ShelfClass: "prod", Shelf: item.Shelf{At20: &ninety, Q10: 1}}
	tin := item.Item{ID: "tin", Name: "Tin", Unit: measure.Each, ShelfClass: "can", Shelf: item.Shelf{At20: &year, Q10: 1}}
	in := Input{
		Catalogue: &item.Catalogue{
			Items: map[pricing.ItemID]item.Item{"onion": onion, "tin": tin},
			Needs: []item.Need{{ID: "veg", Alternates: []item.Alternate{{Item: "onion", Yield: 1}, {Item: "tin", Yield: 0.4}}}},
		},
		Ports:  portList{},
		Prices: pricing.NewTable("EUR", 20500),
		Vessel: vessel.Vessel{Spaces: []vessel.Space{{ID: "a", Kind: vessel.Net, Litres: 50}, {ID: "b", Kind: vessel.Dry, Litres: 50}}},
		Home:   "EUR", Rate: rate, Today: 20510,
		Itinerary: route.Itinerary{Start: 20520},
	}
	names := []pricing.PortID{"A", "B", "C", "D"}
	prices := []float64{2, 1, 1.5, 4}
	for i, id := range names {
		p := port.Port{ID: id, Name: "Port " + string(id), Currency: "EUR", Size: port.Town, Position: geo.Position{Lat: 50}}
		switch i {
		case 1:
			p.Size = port.NoShop
		case 2:
			p.Currency = "GBP"
		}
		in.Ports.(portList)[id] = p
		at := float64(i * 12)
		in.Itinerary.Calls = append(in.Itinerary.Calls, route.Call{Stop: route.Stop{Port: id}, Arrive: at, Depart: at + 2})
		in.Prices.Set(id, "onion", pricing.Estimate{
			Price: prices[i], Low80: prices[i] / 2, High80: prices[i] * 2, Available: 0.9, Newest: 20500, Basis: pricing.BasisCell,
		})
	}
	in.Itinerary.Ways = []route.Way{{DistanceNM: 100}, {DistanceNM: 100}, {DistanceNM: 100}}
	in.Prices.Set("D", "tin", pricing.Estimate{Price: 0.4, Available: 0.9, Basis: pricing.BasisGuess})
	return in
}

func TestItemAhead(t *testing.T) {
	t.Parallel()
	a, err := Item(question(), "onion")
	require.NoError(t, err)
	require.Len(t, a.Here, 1)
	require.Len(t, a.Ahead, 2) // the port without a shop sells nothing
	c := a.Ahead[0]
	require.Equal(t, "Port C", c.Name)
	require.InDelta(t, 0.25, c.Saving, 1e-9)
	require.InDelta(t, 22, c.Days, 1e-9)
	require.InDelta(t, 200, float64(c.DistanceNM), 1e-9)
	require.InDelta(t, 0.75, c.Local, 1e-9)
	require.Equal(t, 10, c.AgeDays)
	require.InDelta(t, 10, c.NeededFor, 1e-9) // to D, which sells it
	require.True(t, c.Keeps)
	require.Equal(t, vessel.Net, c.KeepsIn)
	require.InDelta(t, -1, a.Ahead[1].Saving, 1e-9) // twice the price here
}

func TestNeedAheadComparesByNeedUnit(t *testing.T) {
	t.Parallel()
	a, err := Need(question(), "veg")
	require.NoError(t, err)
	require.Equal(t, pricing.ItemID("tin"), a.Ahead[0].Item)
	require.InDelta(t, 1, a.Ahead[0].PerNeed, 1e-9) // 0.40 for 0.4 of a unit
	require.True(t, a.Ahead[0].Guess)
	require.Equal(t, -1, a.Ahead[0].AgeDays)
}

func TestWhatDoesNotKeepIsSaid(t *testing.T) {
	t.Parallel()
	in := question()
	five := 5.0
	onion := in.Catalogue.Items["onion"]
	onion.Shelf.At20 = &five
	in.Catalogue.Items["onion"] = onion
	a, err := Item(in, "onion")
	require.NoError(t, err)
	require.False(t, a.Ahead[0].Keeps)
}

func TestNotSoldHereGivesNoSaving(t *testing.T) {
	t.Parallel()
	in := question()
	in.From = 1
	a, err := Item(in, "onion")
	require.NoError(t, err)
	require.Empty(t, a.Here)
	require.Len(t, a.Ahead, 2)
	require.Zero(t, a.Ahead[0].Saving)
}

func TestUnknown(t *testing.T) {
	t.Parallel()
	_, err := Item(question(), "caviar")
	require.ErrorIs(t, err, ErrUnknown)
	_, err = Need(question(), "treats")
	require.ErrorIs(t, err, ErrUnknown)
	in := question()
	in.From = 9
	_, err = Item(in, "onion")
	require.ErrorIs(t, err, ErrUnknown)
}
