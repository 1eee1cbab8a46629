package inventory

import (
	"errors"
	"fmt"
	"slices"

	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/wording"
	"hardtack/route/vessel"
)

// ErrInvalid is a lot or a count that cannot be taken. The message names the
// place of each fault; nothing was changed.
var ErrInvalid = errors.New("invalid")

// maxUnits is more of anything than a yacht carries, in item-units: a slip.
const maxUnits = 100_000

// Validate checks lots against the catalogue, the vessel and its lockers and
// names every fault with its path. Its error is ErrInvalid.
func (b Boat) Validate(lots []Lot) error {
	var f []error
	for i, l := range lots {
		if err := b.check(l); err != nil {
			f = append(f, fmt.Errorf("lots[%d]%w", i, err))
		}
	}
	if len(f) == 0 {
		return nil
	}
	return fmt.Errorf("inventory: %w: %w", ErrInvalid, errors.Join(f...))
}

func (b Boat) check(l Lot) error {
	if _, ok := b.Catalogue.Items[l.Item]; !ok {
		return fmt.Errorf(".item: %w", unknownItem(string(l.Item), b.Catalogue))
	}
	if _, ok := b.Vessel.KindOf(l.Space); !ok {
		return fmt.Errorf(".space: %w", oneOf(l.Space, spacesOf(b.Vessel)))
	}
	if in, ok := vessel.FindLocker(b.Lockers, l.Locker); l.Locker != "" && (!ok || in.Space != l.Space) {
		return fmt.Errorf(".locker: %w", wording.Fail("fault.no_locker", wording.Text(l.Locker), wording.Place(l.Space)))
	}
	if u := l.Quantity.Units(); u <= 0 || u > maxUnits {
		return fmt.Errorf(".quantity: %w", outside(l.Quantity))
	}
	if l.Pack < 0 || l.Pack.Units() > maxUnits {
		return fmt.Errorf(".pack: %w", outside(l.Pack))
	}
	if !slices.Contains([]Purpose{Eaten, Barter, Emergency, Bonded}, l.For) {
		return fmt.Errorf(".for: %w", wording.Fail("fault.for", wording.Text(string(l.For))))
	}
	if !l.Bought.IsZero() && !l.BestBefore.IsZero() && l.BestBefore < l.Bought {
		return fmt.Errorf(".best_before: %w", wording.Fail("fault.dates", wording.Day(l.BestBefore), wording.Day(l.Bought)))
	}
	return nil
}

// oneOf says that a word is none of those there are.
func oneOf[T ~string](found T, want []T) error {
	facts := make([]wording.Fact, len(want))
	for k, w := range want {
		facts[k] = wording.Text(string(w))
	}
	return wording.Fail("fault.one_of", wording.Text(string(found)), wording.List(facts...))
}

// outside says that an amount is more than a yacht carries, or less than none.
func outside(q measure.Quantity) error {
	return wording.Fail("fault.beyond", wording.Number(q.Units(), 0), wording.Count(maxUnits))
}

func spacesOf(v vessel.Vessel) []string {
	var ids []string
	for _, s := range v.Spaces {
		ids = append(ids, s.ID)
	}
	return ids
}

// unknownItem names what may have been meant.
func unknownItem(id string, cat *item.Catalogue) error {
	said := wording.Say("fault.no_item", wording.Text(id))
	var near []wording.Fact
	for _, i := range cat.Search(id, 3) {
		near = append(near, wording.Text(string(i.ID)))
	}
	if len(near) > 0 {
		said = wording.Say("fault.nearest", wording.Said(said), wording.List(near...))
	}
	return wording.Trouble{Remark: said}
}
