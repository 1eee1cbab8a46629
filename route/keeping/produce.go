package keeping

import "math"

// handbook has the relative rates at which fresh produce ages, against 0 °C:
// M. Saltveit in USDA Handbook 66 (relative life 100, 33, 13, 7 and 4 %).
var handbook = []struct{ t, rate float64 }{{0, 1}, {10, 3}, {20, 7.5}, {30, 15}, {40, 22.5}}

// Produce that suffers from cold gains no life below the first of these; what
// happens below the second is not known unless a value is listed. Handbook 66
// stores such produce at 7–15 °C; the two figures are judgement.
const (
	chillingBelow   = 12
	chillingUnknown = 8
)

// produceRate is the rate at t, straight in its logarithm within each band,
// the last band's slope going on.
func produceRate(t float64) float64 {
	k := 1
	for k < len(handbook)-1 && t > handbook[k].t {
		k++
	}
	a, b := handbook[k-1], handbook[k]
	return a.rate * math.Pow(b.rate/a.rate, (t-a.t)/(b.t-a.t))
}
