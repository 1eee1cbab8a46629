package api

import (
	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// Believed is an estimate with the pair it is of, as it is told outside: in the
// reference currency per unit of the item when bought in its usual pack. Names
// are those of estimates.csv.
type Believed struct {
	Pair
	Price     float64       `json:"price"`
	Low80     float64       `json:"low80"`
	High80    float64       `json:"high80"`
	Available float64       `json:"available"`
	Evidence  float64       `json:"evidence"`
	Newest    calendar.Day  `json:"newest,omitzero"`
	Basis     pricing.Basis `json:"basis"`
	Lost      float64       `json:"lost,omitzero"` // share one expects to throw away
}

// Believed is the pair with its estimate.
func (p Pair) Believed(e pricing.Estimate) Believed {
	return Believed{p, e.Price, e.Low80, e.High80, e.Available, e.Evidence, e.Newest, e.Basis, e.Goods.Lost}
}
