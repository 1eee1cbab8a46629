package inventory

import (
	"errors"
	"fmt"
	"slices"

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
		return fmt.Errorf(".item: %s", unknownItem(string(l.Item), b.Catalogue))
	}
	if _, ok := b.Vessel.KindOf(l.Space); !ok {
		return fmt.Errorf(".space: %s", unknownSpace(l.Space, b.Vessel))
	}
	if in, ok := vessel.FindLocker(b.Lockers, l.Locker); l.Locker != "" && (!ok || in.Space != l.Space) {
		return fmt.Errorf(".locker: %q is no locker in %s", l.Locker, l.Space)
	}
	if u := l.Quantity.Units(); u <= 0 || u > maxUnits {
		return fmt.Errorf(".quantity: %v is not above 0 and at most %d", u, maxUnits)
	}
	if l.Pack < 0 || l.Pack.Units() > maxUnits {
		return fmt.Errorf(".pack: %v is not 0 to %d", l.Pack.Units(), maxUnits)
	}
	if !slices.Contains([]Purpose{Eaten, Barter, Emergency, Bonded}, l.For) {
		return fmt.Errorf(".for: %q is not barter, emergency, bonded or absent", l.For)
	}
	if !l.Bought.IsZero() && !l.BestBefore.IsZero() && l.BestBefore < l.Bought {
		return fmt.Errorf(".best_before: %v lies before the day it was bought, %v", l.BestBefore, l.Bought)
	}
	return nil
}
