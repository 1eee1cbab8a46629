package shopping

import (
	"cmp"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/route/brief"
	"hardtack/route/plan"
	"hardtack/route/vessel"
)

// Table is what a plan has for somebody who does not eat everything.
type Table struct {
	Read  []Read           `json:"read"`   // whose label must be read first
	NotOf []pricing.ItemID `json:"not_of"` // what others eat meanwhile, and this person not
}

// Read is an item whose label must be read, and what for.
type Read struct {
	Item pricing.ItemID `json:"item"`
	For  []string       `json:"for"` // words of NotEating
}

// TableFor is what a plan has for a person while the person is aboard, by item.
// The catalogue has no recipe of a product: what is not named here is not
// thereby free of anything.
func TableFor(p vessel.Person, x plan.Plan, n brief.Notes, cat *item.Catalogue) Table {
	t := Table{Read: []Read{}, NotOf: []pricing.ItemID{}}
	if len(p.NotEating) == 0 {
		return t
	}
	seen := map[pricing.ItemID]bool{}
	meet := func(need, id string, from, to float64) {
		note, _ := n.Item(id)
		i, ok := cat.Items[note.Item]
		if !ok || seen[i.ID] || p.DaysAboard(n.Start, from, to) == 0 {
			return
		}
		seen[i.ID] = true
		if p.Refuses(i, need) {
			t.NotOf = append(t.NotOf, i.ID)
		} else if words := ReadFor(p, i); len(words) > 0 && feeds(n, need, p) {
			t.Read = append(t.Read, Read{i.ID, words})
		}
	}
	for _, b := range x.Purchases {
		if b.EatenInPort > 0 {
			meet(b.Need, b.Item, n.Stops[b.Stop].Arrive, n.Stops[b.Stop].Depart)
		}
	}
	for _, d := range x.Draws {
		if from, to, ok := n.Period(d.Period); ok {
			meet(d.Need, d.Item, from, to)
		}
	}
	slices.Sort(t.NotOf)
	slices.SortFunc(t.Read, func(a, b Read) int { return cmp.Compare(a.Item, b.Item) })
	return t
}

// feeds says whether a need is for a person; the notes have people by name.
func feeds(n brief.Notes, need string, p vessel.Person) bool {
	note, ok := n.Need(need)
	return ok && (len(note.Persons) == 0 || slices.Contains(note.Persons, cmp.Or(p.Name, p.ID)))
}
