package arrival

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/inventory"
	"hardtack/route/port"
	"hardtack/seed"
)

type world struct {
	cat   *item.Catalogue
	rules *port.Rules
}

func load(t require.TestingT) world {
	cat, err := item.Load(seed.FS)
	require.NoError(t, err)
	rules, err := port.LoadRules(seed.FS)
	require.NoError(t, err)
	return world{cat, rules}
}

func day(s string) calendar.Day {
	d, err := calendar.Parse(s)
	if err != nil {
		panic(err)
	}
	return d
}

func lot(id pricing.ItemID, units float64) inventory.Lot {
	return inventory.Lot{ID: string(id), Item: id, Space: "bilge", Quantity: measure.Of(units)}
}

func (w world) list(to string, lots ...inventory.Lot) List {
	v := Voyage{
		From: port.Port{ID: "a", Zone: "TO"}, To: port.Port{ID: "b", Zone: to}, Today: day("2026-11-01"), Arrive: day("2026-11-11"), Adults: 2,
	}
	return For(lots, w.cat, w.rules, v, func(item.Item) float64 { return 0.05 })
}

func (l List) verdict(id pricing.ItemID) Verdict {
	for _, x := range l.Lines {
		if x.Item == id {
			return x.Verdict
		}
	}
	return ""
}

func TestWhatTheNextCountryTakes(t *testing.T) {
	t.Parallel()
	w := load(t)
	nz := w.list("NZ", lot("honey", 0.5), lot("apple", 2), lot("rice_white", 3), lot("egg_unwashed", 12), lot("tin_tomato", 4), lot("toilet_paper", 6), lot("beer", 4))
	require.Equal(t, Refused, nz.verdict("honey"))
	require.Equal(t, Refused, nz.verdict("apple"))
	require.Equal(t, Surrendered, nz.verdict("egg_unwashed"))
	require.Equal(t, Conditional, nz.verdict("tin_tomato"), "allowed as read years ago: a reason to ask, no more")
	require.Empty(t, nz.verdict("toilet_paper"))
	require.NotEmpty(t, nz.verdict("beer"))
	require.Contains(t, nz.Lines[0].Age, "unconfirmed", "the seed's rows are old")
	cv := w.list("CV", lot("honey", 0.5), lot("tin_tomato", 4))
	require.Equal(t, Unknown, cv.verdict("honey"))
	require.Contains(t, cv.Authority, "ask")
	eu := For([]inventory.Lot{lot("honey", 1)}, w.cat, w.rules, Voyage{
		From: port.Port{Zone: "EU"}, To: port.Port{Zone: "EU"}, Today: day("2026-11-01"),
	}, func(item.Item) float64 { return 1 })
	require.Equal(t, NoBorder, eu.verdict("honey"))
	require.Empty(t, eu.EatDown)
}

func TestEatDownFromNow(t *testing.T) {
	t.Parallel()
	w := load(t)
	nz := w.list("NZ", lot("honey", 0.3), lot("apple", 2), lot("tin_tomato", 4), lot("tin_chili", 2))
	require.Len(t, nz.EatDown, 2, "a tin is not eaten down on a doubt")
	for _, e := range nz.EatDown {
		switch e.Item {
		case "honey":
			require.Zero(t, e.Left)
			require.Contains(t, e.Do, "finishes it in time")
		case "apple":
			require.Equal(t, measure.Of(1.5), e.Left)
			require.InDelta(t, 0.2, e.PerDay, 1e-9)
			require.Contains(t, e.Do, "200 g a day")
		}
	}
	both := w.list("NZ", lot("apple", 0.4), lot("pear", 0.4))
	require.Equal(t, measure.Of(0.3), both.EatDown[0].Left+both.EatDown[1].Left, "apples and pears are eaten out of one appetite")
	held := lot("honey", 0.3)
	held.For = inventory.Barter
	require.Empty(t, w.list("NZ", held).EatDown, "trade goods are declared, not eaten")
	require.Equal(t, Refused, w.list("NZ", held).verdict("honey"))
}

func TestSealedStores(t *testing.T) {
	t.Parallel()
	w := load(t)
	eu := w.list("EU", lot("spirits", 3), lot("beer", 10), lot("honey", 1))
	require.Len(t, eu.Sealed.Lines, 2)
	require.Contains(t, eu.Sealed.Words, "3.0 L of spirits is above the 2.0 L read for 2 adults")
	require.NotContains(t, eu.Sealed.Words, "beer is above")
	cv := w.list("CV", lot("spirits", 3))
	require.Empty(t, cv.Sealed.Allowance)
	require.Contains(t, cv.Sealed.Words, "not the same as none")
	require.Contains(t, cv.Sealed.Words, "No limit was read for "+cv.ZoneName)
	require.Contains(t, w.list("AU", lot("wine_red", 3), lot("beer", 3)).Sealed.Words, "6.0 L of all drinks is above the 4.5 L")
	bonded := lot("tin_cornedbeef", 1)
	bonded.For = inventory.Bonded
	require.Len(t, w.list("AU", bonded).Sealed.Lines, 1)
}

// Whatever is aboard and wherever the boat goes: the caution and whom to ask
// are printed, every rule shows its age, nothing is called allowed that is
// unknown or unconfirmed, and nothing edible is left off the list.
func TestNeverSaferThanRead(t *testing.T) {
	t.Parallel()
	w := load(t)
	zones := []string{"AU", "NZ", "FJ", "PF", "EU", "US", "US-HI", "CL", "IS", "FO", "CV", "ES-CN", "EC-GAL", "TO", "ZZ", "GB"}
	rapid.Check(t, func(t *rapid.T) {
		var lots []inventory.Lot
		for range rapid.IntRange(0, 12).Draw(t, "lots") {
			lots = append(lots, lot(rapid.SampledFrom(w.cat.Order).Draw(t, "item"), rapid.Float64Range(0.1, 20).Draw(t, "amount")))
		}
		l := w.list(rapid.SampledFrom(zones).Draw(t, "zone"), lots...)
		var text strings.Builder
		require.NoError(t, l.Text(&text))
		require.Contains(t, text.String(), "Declare everything; officers decide")
		require.Contains(t, text.String(), "Never throw food overboard")
		require.NotEmpty(t, l.Authority)
		listed := map[pricing.ItemID]bool{}
		for _, x := range l.Lines {
			listed[x.Item] = true
			if x.Verdict == NoBorder {
				continue
			}
			require.NotEmpty(t, x.Age)
			require.Contains(t, text.String(), x.Age)
			if x.Verdict == Allowed {
				require.False(t, x.Unconfirmed)
				require.Equal(t, port.Allowed, x.Rule.Status)
			}
			if x.Rule.Status == port.Unknown {
				require.Equal(t, Unknown, x.Verdict)
				require.Contains(t, text.String(), "UNKNOWN – DECLARE")
			}
		}
		for _, x := range lots {
			i := w.cat.Items[x.Item]
			require.Equal(t, port.IsFood(port.ClassOf(i)) || i.ImportClass == "ALCOHOL", listed[x.Item], x.Item)
		}
	})
}
