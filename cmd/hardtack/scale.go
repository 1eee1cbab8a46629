package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/inventory"
	"hardtack/route/meal"
	"hardtack/route/scale"
	"hardtack/seed"
)

type scaleCmd struct {
	People  float64 `required:"" help:"How many eat; a child counts by its share, as 0.6."`
	Days    float64 `required:"" help:"Days of the passage."`
	List    string  `help:"A CSV of item,amount that was right for some people and days; default the catalogue's own." placeholder:"FILE"`
	Meals   string  `help:"A CSV of meal,kind,times,item,amount instead of a list: what one adult gets, how often." placeholder:"FILE"`
	Prone   float64 `help:"With --meals: how many are prone to seasickness." placeholder:"PEOPLE"`
	Ocean   bool    `help:"With --meals: an ocean passage, two days of emergency meals."`
	For     float64 `help:"People that list was for, where it does not say." placeholder:"PEOPLE"`
	During  float64 `help:"Days that list was for, where it does not say." placeholder:"DAYS"`
	Reserve float64 `help:"Days more, should the passage take longer." placeholder:"DAYS"`
	Fridge  float64 `help:"Litres of fridge; 0 is none." placeholder:"LITRES"`
	Freezer float64 `help:"Litres of freezer; 0 is none." placeholder:"LITRES"`
	Lockers float64 `help:"Temperature of the lockers in °C; 0 is the usual." placeholder:"DEGREES"`
	Aboard  string  `help:"What is aboard already: a count as CSV (item, space, amount, best_before)." placeholder:"FILE"`
	Out     string  `short:"o" help:"File to write; default standard output." placeholder:"FILE"`
}

// Help implements kong's HelpProvider.
func (scaleCmd) Help() string {
	return `Turns a stores list that was right once into the list for any crew and number of
days: whole packs, what is aboard taken off, fresh food first, tins last, and when to
buy what. Needs no price, no port and no database.

Example:
  hardtack scale --people 3 --days 12 --fridge 60`
}

// Run scales the list.
func (c *scaleCmd) Run(sh *shell) error {
	cat, err := item.Load(seed.FS)
	if err != nil {
		return err
	}
	list, err := c.list(sh, cat)
	if err != nil {
		return err
	}
	target := scale.Target{People: c.People, Days: c.Days, Reserve: c.Reserve, Fridge: c.Fridge, Freezer: c.Freezer, LockerC: c.Lockers}
	if target.Aboard, err = c.aboard(sh, cat); err != nil {
		return err
	}
	r, err := scale.To(cat, list, target)
	if errors.Is(err, scale.ErrInvalid) {
		return fmt.Errorf("%w: %w", errUsage, err)
	}
	if err != nil {
		return err
	}
	if sh.json {
		return sh.to(c.Out, jsonOf(r))
	}
	return sh.to(c.Out, func(w io.Writer) error { return r.WriteText(w) })
}

// meals turns a list of meals into the stores list of this passage.
func (c *scaleCmd) meals(sh *shell, cat *item.Catalogue) (scale.List, error) {
	m, err := read(sh, c.Meals, func(r io.Reader) (meal.Menu, error) { return meal.Read(r, cat) })
	if errors.Is(err, meal.ErrInvalid) {
		err = fmt.Errorf("%w: %w", errRefused, err)
	}
	return m.List(meal.Passage{
		People: c.People, Days: c.Days, Nights: max(0, math.Ceil(c.Days)-1), Watch: c.People, Prone: c.Prone, Ocean: c.Ocean,
	}), err
}

func (c *scaleCmd) list(sh *shell, cat *item.Catalogue) (scale.List, error) {
	if c.Meals != "" {
		return c.meals(sh, cat)
	}
	if c.List == "" {
		return scale.Starting(cat), nil
	}
	list, err := read(sh, c.List, func(r io.Reader) (scale.List, error) { return scale.Parse(r, cat) })
	if errors.Is(err, scale.ErrInvalid) {
		return list, fmt.Errorf("%w: %w", errRefused, err)
	}
	if c.For > 0 {
		list.People = c.For
	}
	if c.During > 0 {
		list.Days = c.During
	}
	if err == nil && (list.People == 0 || list.Days == 0) {
		err = fmt.Errorf("%w: %s does not say for how many people and days it was: say --for and --during", errUsage, c.List)
	}
	return list, err
}

func (c *scaleCmd) aboard(sh *shell, cat *item.Catalogue) (map[pricing.ItemID]measure.Quantity, error) {
	if c.Aboard == "" {
		return nil, nil
	}
	f, err := os.Open(c.Aboard)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := inventory.Boat{Catalogue: cat}.ReadCount(f, nil)
	if errors.Is(err, inventory.ErrInvalid) {
		return nil, fmt.Errorf("%w: %s: %w", errRefused, c.Aboard, err)
	}
	out := map[pricing.ItemID]measure.Quantity{}
	for _, r := range rows {
		out[r.Item] += r.Quantity
	}
	return out, err
}
