package public

import (
	"math"

	"hardtack/pricing"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

// Usually is how the price of an item is told at a port.
type Usually struct {
	Pack     measure.Quantity // the usual one
	Currency money.Currency   // the port's
	Factor   float64          // of Currency for one of the currency paid in, on the day
}

const (
	// sizeElasticity is how the unit price falls with the pack's size, the
	// prior of the price model: a pack twice as large costs 2^0.8 times as much.
	sizeElasticity = 0.20
	// haze is how far a told price is off at most, about: enough to hide which
	// prices end in nine and who shops where it is dear, little beside the 20 to
	// 35 % by which shops of one place differ.
	haze = 0.20
)

// Blur gives the price that is told for a report: that of a usual pack, in the
// port's currency, off by a draw u of -1 to 1, to two or three digits. Nothing
// for reports without a price; ok is false when it cannot be told.
func Blur(r pricing.Report, how Usually, u float64) (paid money.Amount, pack measure.Quantity, ok bool) {
	if r.Found != pricing.FoundYes {
		return money.Amount{}, 0, true
	}
	if r.Pack <= 0 || how.Pack <= 0 || !(how.Factor > 0) {
		return money.Amount{}, 0, false
	}
	x := r.Paid.Float() * how.Factor * math.Pow(float64(how.Pack)/float64(r.Pack), 1-sizeElasticity) * math.Exp(haze*u)
	step := math.Pow(10, math.Floor(math.Log10(x))-1) / 2
	paid, err := money.FromFloat(math.Max(step, math.Round(x/step)*step), how.Currency)
	return paid, how.Pack, err == nil && paid.Minor > 0
}
