package item

import (
	"cmp"
	"maps"
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

// Search gives up to n items whose id, or name in any language, is like text,
// likest first.
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
		if u, ok := c.spelt(id).unlike(asked); ok {
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

// Named finds the one item that text names for certain: by id, by a whole
// name, or because no other item has all its words. False when none or
// several could be meant.
func (c *Catalogue) Named(text string) (Item, bool) {
	asked := spelling.Fold(text)
	if asked == "" {
		return Item{}, false
	}
	var having []Item
	for _, id := range c.Order {
		s := c.spelt(id)
		switch {
		case s.is(asked):
			return c.Items[id], true
		case s.missing(asked) == 0:
			having = append(having, c.Items[id])
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

// spelt is an item's id and names, folded.
type spelt struct {
	id, name string
	others   []string // names in other languages
	words    []string // of all of them
}

func (c *Catalogue) spell(i Item) spelt {
	s := spelt{id: spelling.Fold(string(i.ID)), name: spelling.Fold(i.Name)}
	s.words = strings.Fields(s.id + " " + s.name)
	for _, lang := range slices.Sorted(maps.Keys(c.Words)) {
		if name := spelling.Fold(c.Words[lang].Name("item", string(i.ID), "")); name != "" {
			s.others = append(s.others, name)
			s.words = append(s.words, strings.Fields(name)...)
		}
	}
	return s
}

// is says whether that is the item's id or one of its names.
func (s spelt) is(asked string) bool {
	return asked == s.id || asked == s.name || slices.Contains(s.others, asked)
}

// begins says whether the id or a name begins with that.
func (s spelt) begins(asked string) bool {
	return strings.HasPrefix(s.name, asked) || strings.HasPrefix(s.id, asked) ||
		slices.ContainsFunc(s.others, func(name string) bool { return strings.HasPrefix(name, asked) })
}

// spelt is kept by Load; a catalogue made by hand has it made anew each time.
func (c *Catalogue) spelt(id pricing.ItemID) spelt {
	if s, ok := c.spellings[id]; ok {
		return s
	}
	return c.spell(c.Items[id])
}

// unlike ranks an item; false when it is nothing like what was asked. The
// whole id or name comes first, then items that have all the words, those
// beginning with them in front, then items with words alike.
func (s spelt) unlike(asked string) (int, bool) {
	switch {
	case asked == "":
		return 0, false
	case s.is(asked) || singular(asked) == s.id:
		return 0, true
	}
	missing := s.missing(asked)
	if missing > len(strings.Fields(asked)) {
		return 0, false
	}
	rank := 1 + 10*missing
	if !s.begins(asked) {
		rank++
	}
	return rank, true
}

// missing sums how far each word asked is from the nearest word of the item: 0
// for a word or its beginning or plural, the letters wrong for a misspelt one,
// and much for one that is not there at all.
func (s spelt) missing(asked string) int {
	sum := 0
	for w := range strings.FieldsSeq(asked) {
		best := 99
		for _, own := range s.words {
			best = min(best, wordDistance(w, own))
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
