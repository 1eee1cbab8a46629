package api_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/route/brief"
	"hardtack/route/plan"
)

func TestCompareSaysWhatIsBoughtOtherwise(t *testing.T) {
	t.Parallel()
	stops := func(ids ...string) (out []brief.StopNote) {
		for _, id := range ids {
			s := brief.StopNote{Name: "at " + id}
			s.Port = "x-a"
			if id != "a" {
				s.Port = "x-b"
			}
			out = append(out, s)
		}
		return out
	}
	items := []brief.ItemNote{{ID: "rice", Item: "rice_white", Name: "Rice", Unit: "kg"}, {ID: "eggs", Item: "eggs", Name: "Eggs", Unit: "each"}}
	before := api.Planned{
		Notes: brief.Notes{Items: items, Stops: stops("a", "b")},
		Plan: plan.Plan{Cost: plan.Cost{Goods: 14, Missing: 1}, Purchases: []plan.Purchase{
			{Stop: 0, Item: "rice", Pack: 1, Packs: 2, Price: 2}, {Stop: 1, Item: "eggs", Pack: 10, Packs: 2, Price: 5},
		}},
	}
	after := api.Planned{
		Notes: brief.Notes{Items: items, Stops: stops("b", "a")},
		Plan: plan.Plan{Cost: plan.Cost{Goods: 19, ReserveMissing: 2}, Purchases: []plan.Purchase{
			{Stop: 1, Item: "rice", Pack: 0.5, Packs: 4, Price: 1}, {Stop: 0, Item: "eggs", Pack: 10, Packs: 3, Price: 5},
		}},
	}
	d := api.Compare(before, after)
	require.Equal(t, api.Total{Goods: 14, Missing: 1}, d.Before)
	require.Equal(t, api.Total{Goods: 19, Missing: 2}, d.After)
	require.Equal(t, []api.PortChange{{Port: "x-b", Name: "at b", Before: 10, After: 15}, {Port: "x-a", Name: "at a", Before: 4, After: 4}}, d.Ports)
	require.Equal(t, []api.LineChange{{
		Port: "x-b", Name: "at b", Item: "eggs", ItemName: "Eggs", Unit: "each", Before: 20, After: 30, Money: 5,
	}}, d.Lines, "two kilograms of rice in other packs are no difference")
	require.Empty(t, api.Compare(after, after).Lines)
}
