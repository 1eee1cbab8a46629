package item

import (
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/measure"
)

var (
	groupColumns     = []string{"id", "unit", "per_person_day", "cv", "basis"}
	needColumns      = []string{"id", "name", "group", "share", "per_group_unit", "unit", "class", "appetite"}
	alternateColumns = []string{"need", "item", "yield", "taste"}
)

func (l *loader) groups() error {
	t := &table{file: "groups.csv"}
	return t.each(l.files, groupColumns, func(r row) {
		g := Group{
			ID: r.name("id"), Unit: r.name("unit"), PerPersonDay: r.number("per_person_day", 1e-6, 1e4),
			CV: r.number("cv", 0, 3), Basis: r.name("basis"),
		}
		if _, twice := l.group(g.ID); twice {
			r.fail("id", "an id not taken yet")
		}
		l.c.Groups = append(l.c.Groups, g)
	})
}

func (l *loader) group(id string) (Group, bool) {
	k := slices.IndexFunc(l.c.Groups, func(g Group) bool { return g.ID == id })
	if k < 0 {
		return Group{}, false
	}
	return l.c.Groups[k], true
}

func (l *loader) needs() error {
	t := &table{file: "needs.csv"}
	return t.each(l.files, needColumns, func(r row) {
		g, ok := l.group(r.text("group"))
		if !ok {
			r.fail("group", "a group of groups.csv")
		}
		n := Need{
			ID: r.name("id"), Name: r.name("name"), Group: g.ID, Share: r.number("share", 0.01, 1), Unit: readUnit(r),
			PerGroupUnit: r.number("per_group_unit", 1e-6, 1e3),
			Class:        Necessity(r.choice("class", string(Safety), string(Staple), string(Comfort), string(Luxury))),
			Appetite: Appetite(r.choice("appetite", string(Food), string(Coffee), string(Alcohol), string(Infant), string(Baby),
				string(Person), string(Vessel), string(Menstrual), string(Pet))),
		}
		n.PerPersonDay = g.PerPersonDay * n.Share * n.PerGroupUnit
		if _, twice := l.c.Need(n.ID); twice {
			r.fail("id", "an id not taken yet")
		}
		l.c.Needs = append(l.c.Needs, n)
	})
}

func (l *loader) alternates() error {
	t := &table{file: "alternates.csv"}
	return t.each(l.files, alternateColumns, func(r row) {
		a := Alternate{Item: pricing.ItemID(r.text("item")), Yield: r.number("yield", 1e-4, 1e4), Taste: r.number("taste", 0, 1)}
		k := slices.IndexFunc(l.c.Needs, func(n Need) bool { return n.ID == r.text("need") })
		if k < 0 {
			r.fail("need", "a need of needs.csv")
		}
		i, ok := l.item(r)
		if !ok || k < 0 {
			return
		}
		if n, taken := l.c.NeedOf(i.ID); taken {
			r.fail("item", "an item that serves no need yet; this one serves "+n.ID)
			return
		}
		l.c.Needs[k].Alternates = append(l.c.Needs[k].Alternates, a)
	})
}

// Need gives a need by its id.
func (c *Catalogue) Need(id string) (Need, bool) {
	k := slices.IndexFunc(c.Needs, func(n Need) bool { return n.ID == id })
	if k < 0 {
		return Need{}, false
	}
	return c.Needs[k], true
}

// NeedOf gives the need an item serves; false for extras and unknown items.
func (c *Catalogue) NeedOf(id pricing.ItemID) (Need, bool) {
	for _, n := range c.Needs {
		if slices.ContainsFunc(n.Alternates, func(a Alternate) bool { return a.Item == id }) {
			return n, true
		}
	}
	return Need{}, false
}

// Alternate gives how an item serves the need.
func (n Need) Alternate(id pricing.ItemID) (Alternate, bool) {
	k := slices.IndexFunc(n.Alternates, func(a Alternate) bool { return a.Item == id })
	if k < 0 {
		return Alternate{}, false
	}
	return n.Alternates[k], true
}

// Kcal is the energy of one need-unit as the first alternate gives it, 0 for
// what is not eaten.
func (c *Catalogue) Kcal(n Need) float64 {
	if len(n.Alternates) == 0 {
		return 0
	}
	return c.Items[n.Alternates[0].Item].Kcal / n.Alternates[0].Yield
}

// PackLabel says how a pack of q is sold ("400 g tin"); empty when the
// catalogue knows no such pack.
func (i Item) PackLabel(q measure.Quantity) string {
	if k := slices.Index(i.Packs, q); k >= 0 && k < len(i.PackLabels) {
		return i.PackLabels[k]
	}
	return ""
}
