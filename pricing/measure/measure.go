// Package measure has the amounts goods come in: kilograms, litres, pieces.
package measure

// Unit is what an item is counted in.
type Unit string

// The three canonical units. Packs ("500 g", "dozen") are quantities of them.
const (
	Kilogram Unit = "kg"
	Litre    Unit = "L"
	Each     Unit = "each"
)

// Quantity is an amount in millionths of the item's unit (mg, µl, millionths
// of a piece): exact to add and to store.
type Quantity int64

// One is one whole unit.
const One Quantity = 1_000_000

// Of rounds x units to the nearest Quantity.
func Of(x float64) Quantity {
	if x < 0 {
		return -Quantity(-x*float64(One) + 0.5)
	}
	return Quantity(x*float64(One) + 0.5)
}

// Units is q in whole units.
func (q Quantity) Units() float64 { return float64(q) / float64(One) }
