package shopping

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/wording"
)

func TestPoorGoodsAreWarnedOf(t *testing.T) {
	t.Parallel()
	oats := item.Item{Name: "Oats"}
	require.Empty(t, goodsRemarks(oats, pricing.Goods{}))
	require.Empty(t, goodsRemarks(oats, pricing.Goods{Graded: 9, Poor: 1}))
	require.Equal(t, []string{
		"3 of 5 reports here found insects or mould: open a pack before you buy ten, see-through bags first.",
		"Oats of origin BR: 3 of 4 reports found it poor; prefer TH.",
		"Oats, paper: 5 of 6 reports found it poor; prefer see-through bags.",
	}, sentences(goodsRemarks(oats, pricing.Goods{
		Graded: 5, Poor: 3, Insects: 3, Origin: pricing.Contrast{Worst: "BR", Poor: 3, Graded: 4, Best: "TH"},
		Packed: pricing.Contrast{Worst: "paper", Poor: 5, Graded: 6, Best: "clear"},
	})))
	require.Equal(t, []string{"Oats, carton: 3 of 3 reports found it poor."}, sentences(goodsRemarks(oats, pricing.Goods{
		Packed: pricing.Contrast{Worst: "carton", Poor: 3, Graded: 3},
	})))
	require.Equal(t, []string{"2 of 4 reports here call it poor: look twice."}, sentences(goodsRemarks(oats, pricing.Goods{Graded: 4, Poor: 2})))
}

func sentences(rs []wording.Remark) []string {
	var out []string
	for _, r := range rs {
		out = append(out, r.String())
	}
	return out
}
