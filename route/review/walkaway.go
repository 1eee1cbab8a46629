package review

import (
	"fmt"

	"hardtack/route/inventory"
)

// WalkAway is the purchases of a stretch beside their walk-away prices: up to
// which price buying there was worth it rather than waiting for the ports ahead.
type WalkAway struct {
	Kept   int     `json:"kept"`   // bought at or below theirs
	Saved  float64 `json:"saved"`  // below it, home currency
	Over   int     `json:"over"`   // bought above theirs
	Cost   float64 `json:"cost"`   // above it
	Again  int     `json:"again"`  // of those kept, bought again later
	Dearer int     `json:"dearer"` // of these, dearer than before: it paid not to wait
}

func walkAway(in Input) (w WalkAway) {
	for _, m := range in.Moves {
		price, ok := unitPrice(in, m)
		limit, known := in.Worth[m.Lot]
		if !ok || !known {
			continue
		}
		if price > limit {
			w.Over++
			w.Cost += (price - limit) * m.Quantity.Units()
			continue
		}
		w.Kept++
		w.Saved += (limit - price) * m.Quantity.Units()
		if later, ok := boughtLater(in, m); ok {
			w.Again++
			if later > price {
				w.Dearer++
			}
		}
	}
	return w
}

// boughtLater is the mean price of an item-unit in the purchases after one.
func boughtLater(in Input, m inventory.Move) (float64, bool) {
	sum, units := 0.0, 0.0
	for _, o := range in.Moves {
		if p, ok := unitPrice(in, o); ok && o.Item == m.Item && o.Day > m.Day {
			sum += p * o.Quantity.Units()
			units += o.Quantity.Units()
		}
	}
	if units == 0 {
		return 0, false
	}
	return sum / units, true
}

// Words say it; nothing when no purchase had such a price.
func (w WalkAway) Words() string {
	if w.Kept+w.Over == 0 {
		return ""
	}
	text := fmt.Sprintf("Walk-away prices: %d of %d purchases kept theirs, %.2f below them in all", w.Kept, w.Kept+w.Over, w.Saved)
	if w.Over > 0 {
		text += fmt.Sprintf("; %d were above and cost %.2f more than waiting was worth", w.Over, w.Cost)
	}
	if w.Again > 0 {
		text += fmt.Sprintf("; of %d bought again later %d were dearer then", w.Again, w.Dearer)
	}
	return text + "."
}
