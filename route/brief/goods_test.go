package brief

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
)

// What is expected to be thrown away is paid for: goods of which a quarter is
// lost are reckoned a third dearer, and never more than twice as dear.
func TestPoorGoodsAreReckonedDearer(t *testing.T) {
	t.Parallel()
	price := func(lost float64) float64 {
		in := input()
		id := in.Itinerary.Calls[0].Port
		e, ok := in.Prices.At(id, "apple")
		require.True(t, ok)
		e.Goods = pricing.Goods{Lost: lost, Graded: 5, Poor: 3}
		in.Prices.Set(id, "apple", e)
		_, n := build(t, in)
		note, ok := n.Offer("apple", 0, 1)
		require.True(t, ok)
		return note.Price
	}
	sound := price(0)
	require.InEpsilon(t, sound/0.75, price(0.25), 1e-9)
	require.InEpsilon(t, 2*sound, price(0.9), 1e-9)
}
