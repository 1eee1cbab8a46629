package brief

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/vessel"
)

// Who eats no meat has beans for every rough dinner; the others still have
// stew for every second one.
func TestOneVegetarianDoesNotDecideEverybodysDinner(t *testing.T) {
	t.Parallel()
	in := crossing(t)
	in.Crew = vessel.Crew{Persons: []vessel.Person{
		{ID: "a", Age: 40}, {ID: "b", Age: 40}, {ID: "v", Name: "Vera", Age: 40, NotEating: []string{"vegetarian"}},
	}}
	b, n := build(t, in)
	dinners := roughDinners(n.Legs[0])
	require.InDelta(t, 2*0.5*dinners, total(b, needOf(t, b, roughDinner)), 1e-9)
	require.InDelta(t, 2*0.5*dinners+dinners, total(b, needOf(t, b, roughBeans)), 1e-9)
	for _, it := range needOf(t, b, emergency).Items {
		note, ok := n.Item(it.ID)
		require.True(t, ok)
		require.False(t, in.Crew.Persons[2].Refuses(in.Catalogue.Items[note.Item], emergency), "the emergency meals are one pot: %s", it.ID)
	}
}

func TestADishNobodyCanEatIsSaid(t *testing.T) {
	t.Parallel()
	in := crossing(t)
	in.Crew = vessel.Crew{Persons: []vessel.Person{{ID: "a", Name: "Ada", Age: 40, NotEating: []string{"cocoa", "tea_bags", "stock_cubes"}}}}
	b, n := build(t, in)
	for _, need := range b.Needs {
		require.NotEqual(t, watchDrink, need.ID)
	}
	require.Contains(t, sentences(n.Said), "Hot drinks for the night watch: nothing in the catalogue that Ada eats.")
}
