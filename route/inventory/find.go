package inventory

import (
	"cmp"
	"slices"
	"strings"

	"hardtack/pricing/item"
	"hardtack/pricing/measure"
)

// Spot is where a thing lies and how much of it.
type Spot struct {
	Lot      Lot              `json:"lot"`
	Name     string           `json:"name"`
	Place    string           `json:"place"`
	Space    string           `json:"space"`
	Quantity measure.Quantity `json:"quantity"`
	Unit     measure.Unit     `json:"unit"`
}

// Find says where the things lie that a word means: an item by its id or any
// spelling the catalogue knows, or a part of its name; what is to be eaten
// first comes first.
func Find(lots []Lot, cat *item.Catalogue, word string) []Spot {
	word = strings.ToLower(strings.TrimSpace(word))
	meant := map[string]bool{}
	for _, i := range cat.Search(word, 5) {
		meant[string(i.ID)] = true
	}
	var out []Spot
	for _, l := range lots {
		i := cat.Items[l.Item]
		near := meant[string(l.Item)] || strings.Contains(strings.ToLower(i.Name+" "+string(l.Item)+" "+l.Note), word)
		if word != "" && near {
			out = append(out, Spot{l, i.Name, l.Place(), l.Space, l.Quantity, i.Unit})
		}
	}
	slices.SortStableFunc(out, func(a, b Spot) int {
		return cmp.Or(cmp.Compare(a.Name, b.Name), first(a.Lot, b.Lot))
	})
	return out
}
