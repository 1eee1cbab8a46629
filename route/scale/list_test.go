package scale

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/seed"
)

func catalogue(t testing.TB) *item.Catalogue {
	t.Helper()
	c, err := item.Load(seed.FS)
	require.NoError(t, err)
	return c
}

func TestParse(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	list, err := Parse(strings.NewReader("\ufeff# our Biscay list\npeople,6\ndays,12\nitem,amount\n"+
		"rice_white,5 kg\nTomatoes canned,12 x 400 g\n\ntin_tuna_oil,10 tins\negg_unwashed,half dozen\nrice_white,500 g\n\"soy sauce\",\"0,25 l\"\n"), c)
	require.NoError(t, err)
	require.InDelta(t, 6, list.People, 0)
	require.InDelta(t, 12, list.Days, 0)
	require.True(t, list.Own)
	got := map[pricing.ItemID]measure.Quantity{}
	for _, l := range list.Lines {
		got[l.Item] = l.Amount
	}
	require.Equal(t, map[pricing.ItemID]measure.Quantity{
		"rice_white": measure.Of(5.5), "tin_tomato": measure.Of(4.8), "tin_tuna_oil": measure.Of(1.6), "egg_unwashed": measure.Of(6),
		"soy_sauce": measure.Of(0.25),
	}, got)
}

func TestParseSemicolons(t *testing.T) {
	t.Parallel()
	list, err := Parse(strings.NewReader("item;amount\nmilk_uht;1,5 l\n"), catalogue(t))
	require.NoError(t, err)
	require.Equal(t, []Line{{"milk_uht", measure.Of(1.5)}}, list.Lines)
	require.Zero(t, list.People)
}

func TestParseSaysWhereAndWhatWasWanted(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ name, csv, want string }{
		{"unknown item", "item,amount\nrise_white,1 kg\n", `line 2, column 1: "rise_white" is no item of the catalogue; nearest are rice_white`},
		{"ambiguous name", "item,amount\nrice,1 kg\n", "nearest are rice_white"},
		{"nothing like it", "item,amount\nzzqqxx,1\n", "nothing like it"},
		{"wrong unit", "item,amount\nrice_white,3 l\n", "line 2, column 12: rice_white"},
		{"no unit", "item,amount\nrice_white,3\n", "500 g"},
		{"negative", "item,amount\nrice_white,-3 kg\n", "line 2, column 12"},
		{"people", "people,none\nitem,amount\nrice_white,3 kg\n", `line 1, column 8: "none": want a number above 0`},
		{"not a number", "days,NaN\nitem,amount\nrice_white,3 kg\n", `"NaN": want a number above 0`},
		{"one column", "item,amount\nrice_white\n", "line 2, column 1: want two columns"},
		{"three columns", "item,amount\nrice_white,1,kg\n", "want two columns, item and amount, got 3"},
		{"other header", "item,quantity\nrice_white,1 kg\n", "want the column amount"},
		{"empty", "", "no items"},
		{"broken quote", "item,amount\n\"rice_white,1 kg\n", "parse error on line 2"},
		{"no packs", "item,amount\nrice_white,0 bags\n", "want a number of packs above 0"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			list, err := Parse(strings.NewReader(tt.csv), catalogue(t))
			require.ErrorIs(t, err, ErrInvalid)
			require.ErrorContains(t, err, tt.want)
			require.Empty(t, list.Lines)
		})
	}
}

func TestParseNamesEveryBadLine(t *testing.T) {
	t.Parallel()
	_, err := Parse(strings.NewReader("item,amount\nfoo,1\nrice_white,1 kg\nbar,2\n"), catalogue(t))
	require.ErrorContains(t, err, "line 2")
	require.ErrorContains(t, err, "line 4")
}

func FuzzParse(f *testing.F) {
	c := catalogue(f)
	f.Add("people,6\ndays,12\nitem,amount\nrice_white,5 kg\n")
	f.Add("item;amount\nmilk_uht;1,5 l\n")
	f.Add("\ufeff\"a\nb\",\n")
	f.Fuzz(func(t *testing.T, text string) {
		list, err := Parse(strings.NewReader(text), c)
		if err != nil {
			require.ErrorIs(t, err, ErrInvalid)
			return
		}
		for _, l := range list.Lines {
			require.Positive(t, l.Amount)
			require.Contains(t, c.Items, l.Item)
		}
	})
}
