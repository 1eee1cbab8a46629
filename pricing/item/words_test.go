package item

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/pricing/spelling"
)

// A language that is begun is whole: every item and need has a name, every
// hint is put into it, and nothing in it names what is not there.
func TestEveryLanguageNamesEverything(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	require.Contains(t, c.Words, "de")
	for lang, words := range c.Words {
		hints, names := map[string]bool{}, map[string]pricing.ItemID{}
		for _, id := range c.Order {
			name := words.Name("item", string(id), "")
			require.NotEmpty(t, name, "%s: %s", lang, id)
			twin, twice := names[spelling.Fold(name)]
			require.False(t, twice, "%s: %s and %s have one name", lang, id, twin)
			names[spelling.Fold(name)] = id
			if hint := c.Items[id].BuyHint; hint != "" {
				hints[hint] = true
				require.NotEmpty(t, words.Name("hint", hint, ""), "%s: %s", lang, hint)
			}
		}
		require.Len(t, words["item"], len(c.Order), lang)
		require.Len(t, words["hint"], len(hints), lang)
		for _, n := range c.Needs {
			require.NotEmpty(t, words.Name("need", n.ID, ""), "%s: %s", lang, n.ID)
		}
	}
}

func TestItemsAreFoundInEveryLanguage(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	for asked, want := range map[string]pricing.ItemID{
		"Haferflocken": "oats_rolled", "linsen rot": "lentil_red", "Kasebruh": "", "Zwibeln": "onion", "oats": "oats_rolled", "Müsliriegel": "granola_bars",
	} {
		found := c.Search(asked, 5)
		if want == "" {
			require.Empty(t, found, asked)
			continue
		}
		require.True(t, slices.ContainsFunc(found, func(i Item) bool { return i.ID == want }), "%s: %v", asked, found)
	}
	i, ok := c.Named("Reis, weiß, Langkorn")
	require.True(t, ok)
	require.Equal(t, pricing.ItemID("rice_white"), i.ID)
}
