// Package meal turns a list written as meals into a stores list: what one
// person gets of each dish, and how often the dish comes up.
//
// Units: amounts of one adult's portion in the item's unit; days of a passage.
// The fixed numbers of a passage (rough weather, night watches, seasickness,
// meals without a flame) are common practice, no source.
package meal

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/wording"
	"hardtack/route/scale"
)

// ErrInvalid is a list of meals that makes no sense; the error says where and
// what was wanted, and nothing was changed.
var ErrInvalid = errors.New("invalid list of meals")

// Kind is what a meal is for.
type Kind string

// Daily meals come up so many times in the list's days; the others by the
// number a passage asks for.
const (
	Daily     Kind = "daily"
	Rough     Kind = "rough"     // one bowl, no big pans
	Watch     Kind = "watch"     // a snack and a hot drink each night
	Seasick   Kind = "seasick"   // the first three days of those prone
	Emergency Kind = "emergency" // neither gas nor fridge; never lunch
)

var kinds = []Kind{Daily, Rough, Watch, Seasick, Emergency}

// Meal is a dish.
type Meal struct {
	Name        string
	Kind        Kind
	Times       float64 // in the list's days; of a passage when not Daily: 0 takes its number
	Ingredients []Ingredient
}

// Ingredient is what one adult gets of an item.
type Ingredient struct {
	Item   pricing.ItemID
	Amount measure.Quantity
}

// Menu is a list of meals for so many days.
type Menu struct {
	Days  float64
	Meals []Meal
}

// Passage is what the meals are for.
type Passage struct {
	People float64 // adults' portions
	Days   float64
	Nights float64 // on watch
	Watch  float64 // who stand watches
	Prone  float64 // who are prone to seasickness
	Ocean  bool
}

// Read reads a CSV with the columns meal, kind, times, item, amount; a first
// line "days,14" says how many days the times are for, else a week. The kind
// may be empty, which is daily; kind and times count where a meal is first
// named. Its error is ErrInvalid and names every line at fault.
func Read(r io.Reader, cat *item.Catalogue) (Menu, error) {
	c := csv.NewReader(r)
	c.FieldsPerRecord, c.TrimLeadingSpace, c.Comment = -1, true, '#'
	m := Menu{Days: 7}
	var faults []error
	for {
		rec, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			faults = append(faults, err)
			break
		}
		no, _ := c.FieldPos(0)
		if err := m.row(rec, cat); err != nil {
			faults = append(faults, fmt.Errorf("line %d: %w", no, err))
		}
	}
	if len(faults) == 0 && len(m.Meals) == 0 {
		faults = append(faults, wording.Fail("fault.no_meals"))
	}
	if len(faults) > 0 {
		return Menu{}, fmt.Errorf("read meals: %w: %w", ErrInvalid, errors.Join(faults[:min(len(faults), 20)]...))
	}
	return m, nil
}

func (m *Menu) row(rec []string, cat *item.Catalogue) error {
	for k := range rec {
		rec[k] = strings.TrimSpace(strings.TrimPrefix(rec[k], "\ufeff"))
	}
	switch first := strings.ToLower(rec[0]); {
	case strings.Join(rec, "") == "", first == "meal":
		return nil
	case first == "days" && len(rec) >= 2:
		x, err := number(rec[1], 0.5, 1000)
		m.Days = x
		return err
	}
	if len(rec) < 5 {
		return wording.Fail("fault.columns", wording.Count(len(rec)), wording.Text("meal, kind, times, item, amount"))
	}
	i, ok := cat.Items[pricing.ItemID(rec[3])]
	if !ok {
		return fmt.Errorf("item: %w", wording.Fail("fault.no_item", wording.Text(rec[3])))
	}
	q, err := measure.ParsePack(rec[4], i.Unit)
	if err != nil {
		return fmt.Errorf("amount: %w", wording.Fail("fault.found", wording.Text(strconv.Quote(rec[4])), wording.Want("an amount in "+measure.Wants(i.Unit))))
	}
	k := slices.IndexFunc(m.Meals, func(x Meal) bool { return x.Name == rec[0] })
	if k < 0 {
		meal, err := newMeal(rec)
		if err != nil {
			return err
		}
		m.Meals = append(m.Meals, meal)
		k = len(m.Meals) - 1
	}
	m.Meals[k].Ingredients = append(m.Meals[k].Ingredients, Ingredient{i.ID, q})
	return nil
}

func newMeal(rec []string) (Meal, error) {
	x := Meal{Name: rec[0], Kind: Kind(strings.ToLower(rec[1]))}
	if x.Kind == "" {
		x.Kind = Daily
	}
	if x.Name == "" || !slices.Contains(kinds, x.Kind) {
		return x, wording.Fail("fault.meal", wording.Text(rec[0]), wording.Text(rec[1]), wording.Text(fmt.Sprint(kinds)))
	}
	if rec[2] == "" {
		if x.Kind == Daily {
			return x, fmt.Errorf("times: %w", wording.Fail("fault.times"))
		}
		return x, nil
	}
	var err error
	x.Times, err = number(rec[2], 0.01, 1000)
	return x, err
}

func number(text string, low, high float64) (float64, error) {
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || !(x >= low && x <= high) {
		return 0, wording.Fail("fault.range", wording.Text(strconv.Quote(text)), wording.Number(low, 2), wording.Number(high, 0))
	}
	return x, nil
}

// Servings are how many portions of a meal a passage asks for: daily ones by
// its days, the others by their fixed numbers, a leg's whole crew together.
func (m Menu) Servings(x Meal, p Passage) float64 {
	fixed := func(n float64) float64 {
		if x.Times > 0 {
			return x.Times
		}
		return n
	}
	switch x.Kind {
	case Rough: // one on a night or two, then one every five days
		return fixed(math.Ceil(p.Days/5)) * p.People
	case Watch:
		return fixed(p.Nights) * p.Watch
	case Seasick:
		return fixed(math.Min(3, p.Days)) * p.Prone
	case Emergency: // two days for an ocean leg, one for any other night at sea
		n := 3.0
		if p.Ocean {
			n = 6
		}
		return fixed(n) * p.People
	}
	return x.Times * p.Days / m.Days * p.People
}

// List is the stores list of a passage.
func (m Menu) List(p Passage) scale.List {
	out := scale.List{People: p.People, Days: p.Days, Own: true}
	at := map[pricing.ItemID]int{}
	for _, x := range m.Meals {
		n := m.Servings(x, p)
		for _, g := range x.Ingredients {
			k, ok := at[g.Item]
			if !ok {
				k = len(out.Lines)
				at[g.Item] = k
				out.Lines = append(out.Lines, scale.Line{Item: g.Item})
			}
			out.Lines[k].Amount += measure.Of(g.Amount.Units() * n)
		}
	}
	out.Lines = slices.DeleteFunc(out.Lines, func(l scale.Line) bool { return l.Amount <= 0 })
	return out
}
