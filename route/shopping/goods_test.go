package shopping

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/pricing/item"
)

func TestPoorGoodsAreWarnedOf(t *testing.T) {
	t.Parallel()
	oats := item.Item{Name: "Oats"}
	require.Empty(t, goodsWords(oats, pricing.Goods{}))
	require.Empty(t, goodsWords(oats, pricing.Goods{Graded: 9, Poor: 1}))
	require.Equal(t, []string{
		"3 of 5 reports here found insects or mould: open a pack before you buy ten, see-through bags first.",
		"Oats of origin BR is often poor; prefer TH.",
	}, goodsWords(oats, pricing.Goods{Graded: 5, Poor: 3, Insects: 3, Worst: "BR", Best: "TH"}))
	require.Equal(t, []string{"2 of 4 reports here call it poor: look twice."}, goodsWords(oats, pricing.Goods{Graded: 4, Poor: 2}))
}
