package inventory

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/wording"
	"hardtack/route/vessel"
	"hardtack/seed"
)

func loadCatalogue(t require.TestingT) *item.Catalogue {
	c, err := item.Load(seed.FS)
	require.NoError(t, err)
	return c
}

func ketch(cat *item.Catalogue) Boat {
	return Boat{
		Catalogue: cat,
		Vessel: vessel.Vessel{ID: "k", Spaces: []vessel.Space{
			{ID: "saloon", Kind: vessel.Dry, Litres: 400}, {ID: "bilge", Kind: vessel.Cool, Litres: 150}, {ID: "nets", Kind: vessel.Net, Litres: 60},
		}},
		Lockers: []vessel.Locker{
			{ID: "ready-use", Space: "saloon", Litres: 40, AtSea: true},
			{ID: "port low", Space: "saloon", Litres: 80, MaxKg: 60, Low: true, Side: vessel.Port},
			{ID: "starboard low", Space: "saloon", Litres: 80, MaxKg: 60, Low: true, Side: vessel.Starboard},
			{ID: "quarter wet", Space: "saloon", Litres: 60, Wet: true},
			{ID: "engine side", Space: "saloon", Litres: 60, Hot: true},
			{ID: "bilge fore", Space: "bilge", Litres: 50, Low: true}, {ID: "bilge aft", Space: "bilge", Litres: 50, Low: true},
			{ID: "net port", Space: "nets", Litres: 25}, {ID: "net starboard", Space: "nets", Litres: 25},
		},
	}
}

func (p Proposal) in(locker string) []pricing.ItemID {
	var out []pricing.ItemID
	for _, x := range p.Placed {
		if x.Locker == locker {
			out = append(out, x.Item)
		}
	}
	return out
}

// The rules of the trade, one by one (common practice, no source).
func TestProposalKeepsTheRulesOfStowage(t *testing.T) {
	t.Parallel()
	b := ketch(loadCatalogue(t))
	dry := func(id pricing.ItemID, amount, first float64) Goods {
		return Goods{Item: id, Kind: vessel.Dry, Amount: amount, First: first, Last: first + 20}
	}
	t.Run("bottles and plastic to the wet locker, no tins", func(t *testing.T) {
		p := b.Propose(nil, []Goods{dry("vinegar", 2, 30), dry("tin_tomato", 20, 30)})
		require.Contains(t, p.in("quarter wet"), pricing.ItemID("vinegar"))
		require.NotContains(t, p.in("quarter wet"), pricing.ItemID("tin_tomato"))
		require.NotContains(t, p.in("engine side"), pricing.ItemID("tin_tomato"))
	})
	t.Run("no chocolate, oil or tins where it is hot", func(t *testing.T) {
		for _, id := range []pricing.ItemID{"choc_milk", "oil_olive", "tin_tomato", "butter"} {
			require.False(t, StandsHot(b.Catalogue.Items[id]), id)
		}
		require.True(t, StandsHot(b.Catalogue.Items["toilet_paper"]))
	})
	t.Run("heavy low, the first week's at hand", func(t *testing.T) {
		p := b.Propose(nil, []Goods{dry("tin_tomato", 20, 30), dry("crackers", 2, 1)})
		require.NotContains(t, p.in("ready-use"), pricing.ItemID("tin_tomato"))
		require.Contains(t, p.in("ready-use"), pricing.ItemID("crackers"))
		require.Contains(t, append(p.in("port low"), p.in("starboard low")...), pricing.ItemID("tin_tomato"))
	})
	t.Run("apples apart from carrots, onions from potatoes", func(t *testing.T) {
		p := b.Propose(nil, []Goods{
			{Item: "apple", Kind: vessel.Net, Amount: 4}, {Item: "carrot", Kind: vessel.Net, Amount: 4},
			{Item: "onion", Kind: vessel.Cool, Amount: 6}, {Item: "potato", Kind: vessel.Cool, Amount: 10},
		})
		require.Empty(t, p.Homeless)
		for _, l := range b.Lockers {
			require.LessOrEqual(t, len(p.in(l.ID)), 1, l.ID)
		}
	})
	t.Run("what is used first lies on top", func(t *testing.T) {
		p := b.Propose(nil, []Goods{dry("rice_white", 5, 40), dry("pasta_short", 5, 10), dry("lentil_red", 5, 25)})
		for k := 1; k < len(p.Placed); k++ {
			if p.Placed[k].Locker == p.Placed[k-1].Locker {
				require.LessOrEqual(t, p.Placed[k].First, p.Placed[k-1].First)
			}
		}
	})
	t.Run("the boat stays upright", func(t *testing.T) {
		p := b.Propose(nil, []Goods{dry("tin_tomato", 20, 30), dry("tin_peas", 20, 30), dry("tin_corn", 10, 30), dry("sugar_white", 10, 30)})
		require.InDelta(t, p.PortKg, p.StarboardKg, 25)
	})
	t.Run("soap apart from flour", func(t *testing.T) {
		c := b.Catalogue.Items
		require.NotEmpty(t, Apart(c["soap"], c["flour_white"]))
		require.NotEmpty(t, Apart(c["flour_white"], c["soap"]))
		require.Empty(t, Apart(c["soap"], c["tin_tomato"]))
	})
}

// Whatever is to be stowed: no locker is over its litres or kilograms, no pack
// is split, nothing lies against the rules, nothing is lost.
func TestProposalNeverBreaksALocker(t *testing.T) {
	t.Parallel()
	b := ketch(loadCatalogue(t))
	rapid.Check(t, func(t *rapid.T) {
		var goods []Goods
		for range rapid.IntRange(1, 25).Draw(t, "goods") {
			i := b.Catalogue.Items[rapid.SampledFrom(b.Catalogue.Order).Draw(t, "item")]
			pack := i.ListPack.Units()
			goods = append(goods, Goods{
				Item: i.ID, Kind: rapid.SampledFrom([]vessel.SpaceKind{vessel.Dry, vessel.Cool, vessel.Net, vessel.Fridge}).Draw(t, "kind"),
				Amount: pack * float64(rapid.IntRange(1, 30).Draw(t, "packs")), Pack: pack, First: rapid.Float64Range(0, 60).Draw(t, "first"),
			})
		}
		p := b.Propose(nil, goods)
		want, got := map[pricing.ItemID]float64{}, map[pricing.ItemID]float64{}
		for _, g := range goods {
			want[g.Item] += g.Amount
		}
		for _, x := range append(p.Placed, p.Homeless...) {
			got[x.Item] += x.Amount
		}
		for id, x := range want {
			require.InDelta(t, x, got[id], 1e-6, id)
		}
		for _, l := range b.Lockers {
			litres, kg := 0.0, 0.0
			var held []item.Item
			for _, x := range p.Placed {
				if x.Locker != l.ID {
					continue
				}
				i := b.Catalogue.Items[x.Item]
				litres, kg = litres+x.Litres, kg+x.Kg
				held = append(held, i)
				require.InDelta(t, 0, x.Amount/i.ListPack.Units()-float64(int(x.Amount/i.ListPack.Units()+0.5)), 1e-6, "%s is split", x.Item)
				require.False(t, l.Wet && !StandsWet(i) || l.Hot && !StandsHot(i), "%s in %s", x.Item, l.ID)
			}
			require.LessOrEqual(t, litres, l.Litres+1e-6, l.ID)
			require.False(t, l.MaxKg > 0 && kg > l.MaxKg+1e-6, l.ID)
			for _, a := range held {
				for _, o := range held {
					require.Empty(t, Apart(a, o))
				}
			}
		}
	})
}

// With every locker full what is left has no home, and the proposal ends.
func TestFullLockersEndAProposal(t *testing.T) {
	t.Parallel()
	b := cutter(loadCatalogue(t))
	b.Lockers = []vessel.Locker{{ID: "a", Space: "locker", Litres: 2}, {ID: "b", Space: "locker", Litres: 0.5, MaxKg: 0.1}}
	p := b.Propose(nil, []Goods{
		{Item: "rice_white", Kind: vessel.Dry, Amount: 5}, {Item: "pasta_short", Kind: vessel.Dry, Amount: 1, Pack: 1}, {Item: "sugar_white", Kind: vessel.Dry, Amount: 0.3, Pack: 1},
	})
	require.Len(t, p.Homeless, 3)
	placed := 0.0
	for _, x := range p.Placed {
		placed += x.Litres
	}
	require.LessOrEqual(t, placed, 2.5)
}

func TestNothingBoughtWantsNoLocker(t *testing.T) {
	t.Parallel()
	p := boat().Propose(nil, nil)
	require.Empty(t, p.Placed)
	require.Equal(t, []wording.Remark{wording.Say("stowage.nothing")}, p.Said)
}
