package underway

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

// Two plans of four stops, of which the new one leaves out the second and the first
// lies behind.
func TestWhatDiffers(t *testing.T) {
	t.Parallel()
	b := plan.Brief{Currency: "EUR", Stops: []plan.Stop{{Port: "Horta"}, {Port: "Falmouth"}},
		Needs: []plan.Need{{ID: "grain", Items: []plan.Item{{ID: "rice"}, {ID: "oats"}}}, {ID: "hot", Items: []plan.Item{{ID: "tea"}, {ID: "coffee"}}}}}
	buy := func(stop int, need, item string, packs int, pack, price float64) plan.Purchase {
		return plan.Purchase{Stop: stop, Need: need, Item: item, Packs: packs, Pack: pack, Price: price}
	}
	older := plan.Plan{Purchases: []plan.Purchase{
		buy(0, "grain", "rice", 9, 1, 2), // bought already
		buy(1, "grain", "oats", 2, 0.5, 1.5), buy(1, "hot", "tea", 0, 1, 4),
		buy(2, "grain", "rice", 4, 1, 2), buy(2, "hot", "tea", 1, 1, 4), buy(2, "hot", "coffee", 1, 1, 9),
		buy(1, "hot", "coffee", 1, 1, 10),
		buy(3, "hot", "coffee", 1, 0.5, 5), buy(3, "grain", "oats", 3, 1, 2)}}
	now := plan.Plan{Cost: plan.Cost{Goods: 50, Total: 60}, Purchases: []plan.Purchase{
		buy(0, "grain", "rice", 3, 2, 3.5), buy(0, "hot", "coffee", 1, 1, 9), buy(0, "grain", "oats", 2, 1, 3),
		buy(1, "grain", "oats", 3, 1, 2), buy(1, "hot", "coffee", 1, 0.25, 3)}}
	s := Steady{Plan: now, Best: 59.5, Moved: 12.5, Kept: &plan.Cost{Total: 70, Missing: 8}}
	d := Differ(b, s, []int{2, 3}, older, 1, Plainly(b))
	require.Equal(t, []Change{
		{Stop: 0, Port: "Horta", Need: "grain", Item: "oats", Before: 0, After: 2, Money: 6},
		{Stop: 0, Port: "Horta", Need: "hot", Item: "tea", Before: 1, After: 0, Money: -4},
		{Stop: 0, Port: "Horta", Need: "grain", Item: "rice", Before: 4, After: 6, Money: 2.5},
		{Stop: 1, Port: "Falmouth", Need: "hot", Item: "coffee", Before: 0.5, After: 0.25, Money: -2},
	}, d.Changes)
	require.Equal(t, []Change{
		{Stop: -1, Need: "grain", Item: "oats", Before: 1, Money: -3},
		{Stop: -1, Need: "hot", Item: "coffee", Before: 1, Money: -10},
	}, d.Gone)
	require.Equal(t, []string{
		"Horta: also oats, 2; no tea (was 1); more rice, 6 (was 4).",
		"Falmouth: less coffee, 0.25 (was 0.5).",
		"2 things that were to be bought at stops left out are bought elsewhere or not at all.",
		"Keeping to the old lists would count 70.00 EUR, 8.00 of it for going without; this plan counts 60.00.",
		"A plan for 0.50 less was found, but it changes more.",
	}, d.Words)
	require.Equal(t, 0.25, d.Share)
	require.Equal(t, []float64{12.5, 59.5, 70}, []float64{d.Moved, d.Best, d.Kept.Total})

	fewer := Differ(b, Steady{Plan: now, Best: 60}, []int{0, 1}, plan.Plan{Purchases: now.Purchases[1:]}, 0, Plainly(b))
	require.Empty(t, fewer.Gone)
	require.Equal(t, []string{"Horta: also rice, 6."}, fewer.Words)

	same := Differ(b, Steady{Plan: now, Best: 60, Kept: &now.Cost}, []int{0, 1}, now, 0, Plainly(b))
	require.Empty(t, same.Changes)
	require.Empty(t, same.Gone)
	require.Equal(t, []string{"Nothing changes: the shopping lists stay as they are."}, same.Words)
}

// What has no place in the new brief is counted and left out; nothing keeps for less
// than no time.
func TestStowingWhatIsAboard(t *testing.T) {
	t.Parallel()
	b := plan.Brief{Stowage: plan.Stowage{Spaces: []plan.Space{{ID: "dry"}, {ID: "fridge"}}},
		Needs: []plan.Need{{Items: []plan.Item{{ID: "rice", Aboard: []plan.Lot{{Space: "dry", Amount: 7}}}, {ID: "cheese"}}}}}
	left := Stow(&b, []Held{
		{Item: "bread", Space: "dry", Amount: 1, Expires: 9}, {Item: "cheese", Space: "fridge", Amount: 2, Expires: 40},
		{Item: "cheese", Space: "attic", Amount: 3, Expires: 40}, {Item: "cheese", Space: "dry", Amount: 4, Expires: 5}}, 10)
	require.Equal(t, 2, left)
	require.Empty(t, b.Needs[0].Items[0].Aboard)
	require.Equal(t, []plan.Lot{{Space: "fridge", Amount: 2, Expires: 30}, {Space: "dry", Amount: 4, Expires: 0}}, b.Needs[0].Items[1].Aboard)
}
