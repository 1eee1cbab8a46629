package item

import (
	"cmp"
	"slices"
	"strings"

	"hardtack/pricing"
	"hardtack/pricing/spelling"
)

// Item gives an item by its id.
func (c *Catalogue) Item(id pricing.ItemID) (Item, bool) {
	i, ok := c.Items[id]
	return i, ok
}

// Search gives up to n items whose id or name is like text, likest first.
// Capitals, accents, plurals and word order make no difference, and a few
// wrong letters are forgiven. Nothing like it gives none.
func (c *Catalogue) Search(text string, n int) []Item {
	type hit struct {
		item   Item
		unlike int
	}
	asked := spelling.Fold(text)
	var hits []hit
	for _, id := range c.Order {
		if u, ok := unlike(asked, c.Items[id]); ok {
			hits = append(hits, hit{c.Items[id], u})
		}
	}
	slices.SortStableFunc(hits, func(a, b hit) int { return cmp.Compare(a.unlike, b.unlike) })
	var out []Item
	for _, h := range hits[:max(0, min(n, len(hits)))] {
		out = append(out, h.item)
	}
	return out
}

// Named finds the one item that text names for certain: by id, by its whole
// name, or because no other item has all its words. False when none or
// several could be meant.
func (c *Catalogue) Named(text string) (Item, bool) {
	asked := spelling.Fold(text)
	if asked == "" {
		return Item{}, false
	}
	var having []Item
	for _, id := range c.Order {
		i := c.Items[id]
		switch {
		case asked == spelling.Fold(string(id)) || asked == spelling.Fold(i.Name):
			return i, true
		case wordsMissing(asked, i) == 0:
			having = append(having, i)
		}
	}
	if len(having) == 1 {
		return having[0], true
	}
	return Item{}, false
}

// nearest is " (did you mean …?)", or nothing.
func (c *Catalogue) nearest(text string) string {
	var ids []string
	for _, i := range c.Search(text, 3) {
		ids = append(ids, string(i.ID))
	}
	if len(ids) == 0 {
		return ""
	}
	return " (did you mean " + strings.Join(ids, ", ") + "?)"
}

// unlike ranks an item; false when it is nothing like what was asked. The
// whole id or name comes first, then items that have all the words, those
// with fewer words of their own first, then items with words alike.
func unlike(asked string, i Item) (int, bool) {
	id, name := spelling.Fold(string(i.ID)), spelling.Fold(i.Name)
	switch {
	case asked == "":
		return 0, false
	case asked == id || asked == name:
		return 0, true
	}
	missing := wordsMissing(asked, i)
	most := len(strings.Fields(asked))
	if missing > most {
		return 0, false
	}
	starts := 1
	if strings.HasPrefix(name, asked) || strings.HasPrefix(id, asked) {
		starts = 0
	}
	return 1 + 1000*missing + 100*starts + len(strings.Fields(name)), true
}

// wordsMissing sums how far each word asked is from the nearest word of the
// item: 0 for a word or its beginning or plural, the letters wrong for a
// misspelt one, and much for one that is not there at all.
func wordsMissing(asked string, i Item) int {
	own := strings.Fields(spelling.Fold(string(i.ID) + " " + i.Name))
	sum := 0
	for _, w := range strings.Fields(asked) {
		best := 99
		for _, o := range own {
			best = min(best, wordDistance(w, o))
		}
		sum += best
	}
	return sum
}

func wordDistance(asked, own string) int {
	if asked == own || singular(asked) == singular(own) || (len(asked) > 2 && strings.HasPrefix(own, asked)) {
		return 0
	}
	most := len(asked) / 3
	if d := spelling.Distance(asked, own, most); d <= most {
		return d
	}
	return 99
}

func singular(w string) string {
	switch {
	case strings.HasSuffix(w, "oes"):
		return w[:len(w)-2]
	case strings.HasSuffix(w, "ies") && len(w) > 4:
		return w[:len(w)-3] + "y"
	case strings.HasSuffix(w, "s") && len(w) > 3:
		return w[:len(w)-1]
	}
	return w
}
