package item

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/pricing/measure"
	"hardtack/seed"
)

// small is the smallest catalogue there can be.
func small() map[string]string {
	return map[string]string{
		"items.csv": strings.Join(itemColumns, ",") + "\n" +
			"rice,Rice,staple,kg,3650,71,1.3,1,730,365,963,,,2,dry,2,RICE_GRAIN,0,18,1.8,,bag,,,read,read,30;16,here\n" +
			"foil,Foil,household,each,,,1,0.6,1825,,,,,1,nonfood,0,NONFOOD,0,0,0,,,gluten|egg,,none,trade,,trade\n",
		"packs.csv":       "item,quantity,label,list\nrice,0.5,500 g bag,\nrice,1,1 kg bag,yes\nfoil,1,roll,yes\n",
		"base-prices.csv": "item,eur_per_unit,log_sd,basis\nrice,2,0.3,guess\nfoil,3,0.4,guess\n",
		"groups.csv":      "id,unit,per_person_day,cv,basis\nstarch,g,100,0.3,trade\n",
		"needs.csv":       "id,name,group,share,per_group_unit,unit,class,appetite\nrice,Rice,starch,1,0.001,kg,B,food\n",
		"alternates.csv":  "need,item,yield,taste\nrice,rice,1,0\n",
		"extras.csv":      "item,why\nfoil,a roll a season\n",
	}
}

func files(texts map[string]string) fs.FS {
	out := fstest.MapFS{}
	for name, text := range texts {
		out[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return out
}

func TestLoad(t *testing.T) {
	t.Parallel()
	c, err := Load(files(small()))
	require.NoError(t, err)
	require.Equal(t, []pricing.ItemID{"rice", "foil"}, c.Order)
	rice := c.Items["rice"]
	require.Equal(t, []measure.Quantity{measure.Of(0.5), measure.Of(1)}, rice.Packs)
	require.Equal(t, measure.One, rice.ListPack)
	require.Equal(t, "500 g bag", rice.PackLabel(measure.Of(0.5)))
	require.Empty(t, rice.PackLabel(measure.Of(7)))
	require.Equal(t, []int{30, 16}, rice.ShelfDerived)
	require.Nil(t, rice.Shelf.At4)
	require.Equal(t, []string{"gluten", "egg"}, c.Items["foil"].Allergens)
	n, ok := c.NeedOf("rice")
	require.True(t, ok)
	require.InDelta(t, 0.1, n.PerPersonDay, 1e-12)
	_, ok = c.NeedOf("foil")
	require.False(t, ok)
	require.Equal(t, "a roll a season", c.Extras["foil"])
}

func TestLoadSaysWhereAndWhatWasWanted(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ name, file, old, new, want string }{
		{"not a number", "items.csv", "3650", "lots", `items.csv:2:21: kcal_per_unit "lots": want a number from 0 to 9100`},
		{"NaN", "items.csv", "3650", "NaN", "want a number"},
		{"negative days", "items.csv", "730", "-1", "shelf_d_ambient20"},
		{"unknown unit", "items.csv", ",kg,", ",tin,", `unit "tin": want one of kg, L, each`},
		{"id twice", "items.csv", "foil,Foil", "rice,Foil", "want an id not taken yet"},
		{"no shelf life at all", "items.csv", "1825", "", "want days at some temperature"},
		{"derived at 12", "items.csv", "30;16", "30;12", "shelf_derived_by_q10"},
		{"column gone", "items.csv", "id,name", "id,title", "items.csv:1: want the columns id,name"},
		{"cell gone", "packs.csv", "foil,1,roll,yes", "foil,1,roll", "wrong number of fields"},
		{"pack of nothing known", "packs.csv", "foil,1", "fool,1", `packs.csv:4:1: item "fool": want an item of items.csv (did you mean foil?)`},
		{"packs in disorder", "packs.csv", "rice,1,", "rice,0.2,", "ascending order"},
		{"no usual pack", "packs.csv", "roll,yes", "roll,", "packs.csv: foil: want a usual pack"},
		{"two usual packs", "packs.csv", "500 g bag,", "500 g bag,yes", "one usual pack per item"},
		{"price of 0", "base-prices.csv", "rice,2", "rice,0", "eur_per_unit"},
		{"a price seen", "base-prices.csv", "0.3,guess", "0.3,read", `basis "read": want one of guess`},
		{"price gone", "base-prices.csv", "foil,3,0.4,guess\n", "", "base-prices.csv: foil: want a guessed price"},
		{"unknown group", "needs.csv", "starch", "bread", "want a group of groups.csv"},
		{"shares short of one", "needs.csv", ",1,0.001", ",0.4,0.001", "shares add up to 0.4, want 1"},
		{"more than half", "needs.csv", "rice,Rice,starch,1,", "pasta,Pasta,starch,0.3,0.001,kg,B,food\nrice,Rice,starch,0.7,", "want at most 0.5"},
		{"unknown class", "needs.csv", ",B,", ",Z,", `class "Z"`},
		{"unknown appetite", "needs.csv", "food", "hunger", "appetite"},
		{"unknown need", "alternates.csv", "rice,rice", "rise,rice", "want a need of needs.csv"},
		{"an item of two needs", "alternates.csv", "rice,rice,1,0", "rice,rice,1,0\nrice,rice,1,0", "serves no need yet"},
		{"nothing served", "extras.csv", "foil,a roll a season\n", "", "alternates.csv: foil: want it to serve a need"},
		{"served and extra", "extras.csv", "foil,", "rice,", "this one serves rice"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			texts := small()
			require.Contains(t, texts[tt.file], tt.old)
			texts[tt.file] = strings.Replace(texts[tt.file], tt.old, tt.new, 1)
			c, err := Load(files(texts))
			require.ErrorIs(t, err, ErrInvalid)
			require.ErrorContains(t, err, tt.want)
			require.Nil(t, c)
		})
	}
}

func TestLoadMissesAFile(t *testing.T) {
	t.Parallel()
	for name := range small() {
		texts := small()
		delete(texts, name)
		_, err := Load(files(texts))
		require.ErrorIs(t, err, fs.ErrNotExist, name)
	}
}

func TestSearch(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	for text, want := range map[string]pricing.ItemID{
		"rice_white": "rice_white", "Rice, white long-grain": "rice_white", "white rice": "rice_white", "rise white": "rice_white",
		"tinned tomatos": "tin_tomato", "potatos": "potato", "CRÉAM uht": "cream_uht", "chickpea tin": "tin_chickpea",
		"EGGS unwashed": "egg_unwashed", "toilet paper": "toilet_paper", "condensed milk": "milk_cond",
	} {
		hits := c.Search(text, 3)
		require.NotEmpty(t, hits, text)
		require.Equal(t, want, hits[0].ID, text)
	}
	require.Empty(t, c.Search("zzqqxx", 5))
	require.Empty(t, c.Search("", 5))
	require.Empty(t, c.Search("rice", -1))
	require.Len(t, c.Search("milk", 2), 2)
}

func TestNamedIsCertain(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	for text, want := range map[string]pricing.ItemID{
		"tin_peas": "tin_peas", "white rice": "rice_white", "toothpaste": "toothpaste", "Eggs, unwashed": "egg_unwashed",
	} {
		i, ok := c.Named(text)
		require.True(t, ok, text)
		require.Equal(t, want, i.ID, text)
	}
	for _, text := range []string{"", "rice", "milk", "rise_white", "zzqqxx"} {
		_, ok := c.Named(text)
		require.False(t, ok, text)
	}
}

func FuzzLoadItems(f *testing.F) {
	f.Add(small()["items.csv"])
	data, err := fs.ReadFile(seed.FS, "items.csv")
	require.NoError(f, err)
	f.Add(string(data[:4000]))
	f.Fuzz(func(t *testing.T, text string) {
		texts := small()
		texts["items.csv"] = text
		if _, err := Load(files(texts)); err != nil {
			require.ErrorIs(t, err, ErrInvalid)
		}
	})
}
