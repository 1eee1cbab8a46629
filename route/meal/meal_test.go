package meal

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/seed"
)

func catalogue(t require.TestingT) *item.Catalogue {
	c, err := item.Load(seed.FS)
	require.NoError(t, err)
	return c
}

const menu = `days,14
meal,kind,times,item,amount
Lentil stew,,4,lentil_red,80 g
Lentil stew,,,onion,100 g
One-bowl,rough,,tin_stew,400 g
Watch,watch,,granola_bars,1
Queasy,seasick,,crackers,100 g
No flame,emergency,,tin_bakedbeans,400 g
`

func TestMealsBecomeAStoresList(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	m, err := Read(strings.NewReader(menu), c)
	require.NoError(t, err)
	require.Len(t, m.Meals, 5)
	l := m.List(Passage{People: 4, Days: 21, Nights: 20, Watch: 3, Prone: 1, Ocean: true})
	want := map[pricing.ItemID]float64{ // by hand
		"lentil_red":     0.080 * 4 * 21.0 / 14 * 4,
		"onion":          0.1 * 4 * 21.0 / 14 * 4,
		"tin_stew":       0.4 * 5 * 4, // one every five days begun
		"granola_bars":   20 * 3,
		"crackers":       0.1 * 3,
		"tin_bakedbeans": 0.4 * 6 * 4, // two days
	}
	require.Len(t, l.Lines, len(want))
	for _, line := range l.Lines {
		require.InDelta(t, want[line.Item], line.Amount.Units(), 1e-5, line.Item)
	}
	coastal := m.List(Passage{People: 2, Days: 2, Nights: 0, Ocean: false})
	for _, line := range coastal.Lines {
		require.NotEqual(t, pricing.ItemID("granola_bars"), line.Item, "no night, no watch")
	}
}

func TestBadMealsAreNamed(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct{ csv, says string }{
		"nothing":       {"", "no meals"},
		"unknown item":  {"Stew,,2,unobtainium,1 kg\n", "line 1: item"},
		"no amount":     {"Stew,,2,onion,some\n", "line 1: amount"},
		"unknown kind":  {"Stew,brunch,2,onion,1 kg\n", "brunch"},
		"no times":      {"Stew,,,onion,1 kg\n", "times"},
		"bad times":     {"Stew,,-2,onion,1 kg\n", "-2"},
		"few columns":   {"Stew,2\n", "columns"},
		"days, no days": {"days,x\nStew,,1,onion,1 kg\n", "line 1"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, err := Read(strings.NewReader(tt.csv), catalogue(t))
			require.ErrorIs(t, err, ErrInvalid)
			require.ErrorContains(t, err, tt.says)
			require.Empty(t, m.Meals)
		})
	}
}

// Twice the people eat twice as much of every daily meal; a longer passage
// never eats less.
func TestMealLaws(t *testing.T) {
	t.Parallel()
	m, err := Read(strings.NewReader(menu), catalogue(t))
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		p := Passage{
			People: rapid.Float64Range(1, 8).Draw(t, "people"), Days: rapid.Float64Range(1, 40).Draw(t, "days"),
			Nights: rapid.Float64Range(0, 40).Draw(t, "nights"), Watch: 2, Prone: 1,
		}
		double, longer := p, p
		double.People *= 2
		longer.Days += rapid.Float64Range(0, 10).Draw(t, "more")
		for _, x := range m.Meals {
			require.GreaterOrEqual(t, m.Servings(x, longer), m.Servings(x, p))
			if x.Kind == Daily {
				require.InDelta(t, 2*m.Servings(x, p), m.Servings(x, double), 1e-9)
			}
		}
	})
}

func FuzzRead(f *testing.F) {
	f.Add(menu)
	f.Add("days,1e9\n\"a\nb\",,1,onion,1 kg")
	c := catalogue(f)
	f.Fuzz(func(t *testing.T, text string) {
		m, err := Read(strings.NewReader(text), c)
		if err != nil {
			require.ErrorIs(t, err, ErrInvalid)
			return
		}
		for _, l := range m.List(Passage{People: 2, Days: 7}).Lines {
			require.Positive(t, l.Amount)
		}
	})
}
