package logbook

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
)

func TestTheLogHintsBeforeTheShopping(t *testing.T) {
	t.Parallel()
	log := []Entry{
		{Day: 1, Kind: Wanted, Place: "CVMIN", Note: "fish hooks"},
		{Day: 9, Kind: Wanted, Place: "CVMIN", Note: "fish hooks"},
		{Day: 2, Kind: Wanted, Place: "ESLPA", Note: "books"},
		{Day: 3, Kind: Condition, Item: "onion", Place: "net", Note: "sprouting"},
		{Day: 4, Kind: Condition, Item: "apple", Note: "soft"},
		{Day: 5, Kind: PestSeen, Place: "ESLPA", Note: "cockroaches"},
		{Day: 6, Kind: PestSeen, Item: "rice_white", Note: "weevils"},
		{Day: 7, Kind: Guests, Amount: 2},
	}
	buys := func(id pricing.ItemID) bool { return id == "onion" || id == "rice_white" }
	hints := Hints(log, "ESLPA", []string{"CVMIN"}, buys)
	require.Equal(t, []Hint{
		{Kind: Wanted, Place: "CVMIN", Day: 9, Note: "fish hooks"},
		{Kind: PestSeen, Item: "rice_white", Day: 6, Note: "weevils"},
		{Kind: PestSeen, Place: "ESLPA", Day: 5, Note: "cockroaches"},
		{Kind: Condition, Item: "onion", Place: "net", Day: 3, Note: "sprouting"},
	}, hints)
	require.Empty(t, Hints(log, "", nil, func(pricing.ItemID) bool { return false }))
}
