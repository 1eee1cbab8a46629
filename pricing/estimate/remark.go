package estimate

import (
	"math"

	"hardtack/pricing"
)

// remarkStep is how far from what one expects a price is called cheap or dear.
const remarkStep = 0.15

// below updates a normal belief N(m, v) by the word that something with noise
// variance q about it lies below c: moments of the exact posterior, as in
// probit regression (Rasmussen & Williams 2006, eq. 3.82–3.85).
func below(m, v, c, q float64) (mean, variance float64) {
	t := math.Sqrt(v + q)
	a := (c - m) / t
	ratio := density(a) / below0(a)
	return m - v/t*ratio, v - v*v/(t*t)*ratio*(ratio+a)
}

// within is the same for the word that it lies no further than c from m.
func within(v, c, q float64) (variance float64) {
	t := math.Sqrt(v + q)
	a := c / t
	return v - v*v/(t*t)*2*a*density(a)/(2*below0(a)-1)
}

// density and below0 are of the standard normal distribution.
func density(x float64) float64 { return math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) }
func below0(x float64) float64  { return math.Erfc(-x/math.Sqrt2) / 2 }

// remarked turns a word into the report it is worth: a deviation from what one
// expects there, and its variance.
func (p *process) remarked(f pricing.Found) (y, variance float64) {
	mean, v := 0.0, 0.0
	switch f {
	case pricing.Cheap:
		mean, v = below(0, p.cell2, -remarkStep, p.noise2)
	case pricing.Dear:
		mean, v = below(0, p.cell2, -remarkStep, p.noise2)
		mean = -mean
	default:
		v = within(p.cell2, remarkStep, p.noise2)
	}
	variance = 1 / (1/v - 1/p.cell2)
	return mean / v * variance, variance
}
