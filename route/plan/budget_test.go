package plan

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestWorkGoesByNeedsItemsAndStops(t *testing.T) {
	t.Parallel()
	brief := func(needs, items, stops int) Brief {
		b := Brief{Stops: make([]Stop, stops)}
		for range needs {
			b.Needs = append(b.Needs, Need{Items: make([]Item, items)})
		}
		return b
	}
	for _, tt := range []struct {
		given, needs, items, stops, want int
	}{
		{7, 100, 4, 40, 7},
		{0, 1, 1, 2, DefaultWork},
		{0, 50, 2, 16, DefaultWork},
		{0, 100, 2, 16, 2 * DefaultWork},
		{0, 50, 2, 32, 2 * DefaultWork},
		{0, 50, 5, 24, 3 * DefaultWork},
	} {
		require.Equal(t, tt.want, Budget{Work: tt.given}.work(brief(tt.needs, tt.items, tt.stops)), "%v", tt)
	}
}
