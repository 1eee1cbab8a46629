package item

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strings"

	"hardtack/pricing"
	"hardtack/pricing/measure"
	"hardtack/pricing/wording"
)

// ErrInvalid marks a catalogue that cannot be used; the error says which file,
// line and column and what was wanted there.
var ErrInvalid = errors.New("invalid catalogue")

var (
	itemColumns = []string{
		"id", "name", "category", "unit", "kcal_per_unit", "protein_g_per_unit", "packed_litre_per_unit", "kg_per_unit",
		"shelf_d_ambient20", "shelf_d_ambient30", "shelf_d_bilge16", "shelf_d_fridge4", "shelf_d_freezer_m18", "q10",
		"shelf_class", "pest_risk_0_3", "biosecurity_class", "ready_to_eat", "cook_min", "cook_water_l_per_unit",
		"opened_fridge_d", "packaging", "allergens", "buy_hint", "kcal_basis", "shelf_basis", "shelf_derived_by_q10", "source_tags",
	}
	packColumns  = []string{"item", "quantity", "label", "list"}
	priceColumns = []string{"item", "eur_per_unit", "log_sd", "basis"}
	extraColumns = []string{"item", "why"}
)

// Load reads items.csv, packs.csv, base-prices.csv, groups.csv, needs.csv,
// alternates.csv, extras.csv and, if there, words-LANGUAGE.csv. Every row is checked; the error, an
// ErrInvalid, names all that is wrong, and there is no catalogue then.
func Load(files fs.FS) (*Catalogue, error) {
	l := loader{files: files, c: &Catalogue{Items: map[pricing.ItemID]Item{}, Extras: map[pricing.ItemID]string{}}}
	steps := []func() error{l.items, l.packs, l.prices, l.groups, l.needs, l.alternates, l.extras, l.whole, l.words}
	for _, step := range steps {
		if err := step(); err != nil {
			return nil, fmt.Errorf("load catalogue: %w: %w", ErrInvalid, err)
		}
	}
	l.c.spellings = make(map[pricing.ItemID]spelt, len(l.c.Items))
	for id, i := range l.c.Items {
		l.c.spellings[id] = l.c.spell(i)
	}
	return l.c, nil
}

// words reads what things are called in other languages.
func (l *loader) words() (err error) {
	l.c.Words, err = wording.Glossaries(l.files)
	return err
}

type loader struct {
	files fs.FS
	c     *Catalogue
}

func (l *loader) items() error {
	t := &table{file: "items.csv"}
	return t.each(l.files, itemColumns, func(r row) {
		i := readItem(r)
		if _, twice := l.c.Items[i.ID]; twice {
			r.fail("id", "an id not taken yet")
		}
		l.c.Items[i.ID] = i
		l.c.Order = append(l.c.Order, i.ID)
	})
}

func readItem(r row) Item {
	return Item{
		ID: pricing.ItemID(r.name("id")), Name: r.name("name"), Category: r.name("category"), Unit: readUnit(r),
		Kcal: r.number0("kcal_per_unit", 0, 9100), ProteinG: r.number0("protein_g_per_unit", 0, 1000),
		Litres: r.number("packed_litre_per_unit", 0, 100), Kg: r.number("kg_per_unit", 0.001, 100),
		Shelf: readShelf(r), ShelfClass: r.name("shelf_class"), PestRisk: int(r.number("pest_risk_0_3", 0, 3)),
		ImportClass: r.name("biosecurity_class"), ReadyToEat: r.choice("ready_to_eat", "0", "1") == "1",
		CookMin: r.number("cook_min", 0, 300), CookWaterL: r.number0("cook_water_l_per_unit", 0, 200),
		OpenedDays: r.number0("opened_fridge_d", 0, 3650), Packaging: r.text("packaging"), Allergens: readAllergens(r),
		BuyHint: r.text("buy_hint"), KcalBasis: r.name("kcal_basis"), ShelfBasis: r.name("shelf_basis"), Source: r.name("source_tags"),
		ShelfDerived: readDerived(r),
	}
}

func readUnit(r row) measure.Unit {
	return measure.Unit(r.choice("unit", string(measure.Kilogram), string(measure.Litre), string(measure.Each)))
}

const longest = 3650 // days; a longer promise of quality would mean nothing

func readShelf(r row) Shelf {
	s := Shelf{
		At20: r.optional("shelf_d_ambient20", 0, longest), At30: r.optional("shelf_d_ambient30", 0, longest),
		At16: r.optional("shelf_d_bilge16", 0, longest), At4: r.optional("shelf_d_fridge4", 0, longest),
		AtM18: r.optional("shelf_d_freezer_m18", 0, longest), Produce: r.text("q10") == "hb66",
	}
	if !s.Produce {
		s.Q10 = r.number("q10", 1, 10)
	}
	if s.At20 == nil && s.At4 == nil && s.AtM18 == nil {
		r.fail("shelf_d_ambient20", "days at some temperature")
	}
	return s
}

func readAllergens(r row) []string {
	if r.text("allergens") == "" {
		return nil
	}
	return strings.Split(r.text("allergens"), "|")
}

func readDerived(r row) []int {
	var out []int
	for _, t := range strings.FieldsFunc(r.text("shelf_derived_by_q10"), func(c rune) bool { return c == ';' }) {
		switch t {
		case "30":
			out = append(out, 30)
		case "16":
			out = append(out, 16)
		default:
			r.fail("shelf_derived_by_q10", "30, 16 or both with ; between")
		}
	}
	return out
}

// item finds the item a row speaks of.
func (l *loader) item(r row) (Item, bool) {
	i, ok := l.c.Items[pricing.ItemID(r.text("item"))]
	if !ok {
		r.fail("item", "an item of items.csv"+l.c.nearest(r.text("item")))
	}
	return i, ok
}

func (l *loader) packs() error {
	t := &table{file: "packs.csv"}
	return t.each(l.files, packColumns, func(r row) {
		i, ok := l.item(r)
		q := measure.Of(r.number("quantity", 1e-6, 1000))
		if !ok {
			return
		}
		if n := len(i.Packs); n > 0 && q <= i.Packs[n-1] {
			r.fail("quantity", "packs of an item in ascending order")
		}
		i.Packs, i.PackLabels = append(i.Packs, q), append(i.PackLabels, r.name("label"))
		if r.choice("list", "yes", "") == "yes" {
			if i.ListPack != 0 {
				r.fail("list", "one usual pack per item")
			}
			i.ListPack = q
		}
		l.c.Items[i.ID] = i
	})
}

func (l *loader) prices() error {
	t := &table{file: "base-prices.csv"}
	return t.each(l.files, priceColumns, func(r row) {
		i, ok := l.item(r)
		price, sd := r.number("eur_per_unit", 1e-4, 1e4), r.number("log_sd", 0.01, 3)
		r.choice("basis", "guess")
		if ok && i.BasePrice != 0 {
			r.fail("item", "one price per item")
		}
		if ok {
			i.BasePrice, i.BaseLogSD = price, sd
			l.c.Items[i.ID] = i
		}
	})
}

func (l *loader) extras() error {
	t := &table{file: "extras.csv"}
	return t.each(l.files, extraColumns, func(r row) {
		if i, ok := l.item(r); ok {
			if n, serves := l.c.NeedOf(i.ID); serves {
				r.fail("item", "an item that serves no need; this one serves "+n.ID)
			}
			l.c.Extras[i.ID] = r.name("why")
		}
	})
}

// whole checks what no single row can show.
func (l *loader) whole() error {
	var errs []error
	for _, id := range l.c.Order {
		i := l.c.Items[id]
		_, serves := l.c.NeedOf(id)
		_, extra := l.c.Extras[id]
		switch {
		case i.ListPack == 0:
			errs = append(errs, fmt.Errorf("packs.csv: %s: want a usual pack (list=yes)", id))
		case i.BasePrice == 0:
			errs = append(errs, fmt.Errorf("base-prices.csv: %s: want a guessed price", id))
		case !serves && !extra:
			errs = append(errs, fmt.Errorf("alternates.csv: %s: want it to serve a need, or to stand in extras.csv", id))
		}
	}
	return errors.Join(append(errs, l.shares()...)...)
}

// shares checks that the needs of a group add up to it, none above half of it
// where there are rivals.
func (l *loader) shares() []error {
	var errs []error
	for _, g := range l.c.Groups {
		sum, n := 0.0, 0
		for _, need := range l.c.Needs {
			if need.Group == g.ID {
				sum, n = sum+need.Share, n+1
			}
		}
		if math.Abs(sum-1) > 1e-9 {
			errs = append(errs, fmt.Errorf("needs.csv: group %s: shares add up to %g, want 1", g.ID, sum))
		}
		half := slices.IndexFunc(l.c.Needs, func(x Need) bool { return n > 1 && x.Group == g.ID && x.Share > 0.5 })
		if half >= 0 {
			errs = append(errs, fmt.Errorf("needs.csv: need %s: share %g, want at most 0.5 where the group has rivals", l.c.Needs[half].ID, l.c.Needs[half].Share))
		}
	}
	return errs
}
