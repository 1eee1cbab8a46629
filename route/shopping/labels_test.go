package shopping

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/route/vessel"
)

// Who eats at a table of their own, which the notes have by name, is told of
// the labels of what is bought for it.
func TestLabelsOfATableOfItsOwn(t *testing.T) {
	t.Parallel()
	in := passage(t)
	in.Notes.Needs[0].Persons = []string{"Bo"}
	require.Equal(t, []Label{{"Bo", []string{"gluten"}}}, lineOf(t, FromPlan(in).Lists[0], "rice_white").Labels)
	in.Notes.Needs[0].Persons = []string{"Ada"}
	require.Empty(t, lineOf(t, FromPlan(in).Lists[0], "rice_white").Labels)
}

func TestTableFor(t *testing.T) {
	t.Parallel()
	in := passage(t)
	bo := in.Crew.Persons[1]
	table := func(p vessel.Person) Table { return TableFor(p, in.Plan, in.Notes, in.Catalogue) }
	require.Equal(t, Table{Read: []Read{{"rice_white", []string{"gluten"}}}, NotOf: []pricing.ItemID{}}, table(bo))
	require.Empty(t, table(in.Crew.Persons[0]).Read, "who eats everything reads nothing")
	in.Plan.Draws[0].Item = "pasta_short"
	require.Equal(t, []pricing.ItemID{"pasta_short"}, table(bo).NotOf, "others eat it")
	bo.Aboard = []vessel.Span{{From: start + 30}}
	require.Empty(t, table(bo).NotOf, "not while Bo is ashore")
	require.Empty(t, table(bo).Read)
}
