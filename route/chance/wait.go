// Package chance has the arithmetic of not knowing: what waiting for the next
// port is worth, and how much to carry against a long passage and hungry days.
//
// Prices are per unit of whatever is counted, all in one currency; spreads are
// standard deviations of the natural logarithm.
package chance

import "math"

// Port is a chance ahead to buy: the price met there is lognormal.
type Port struct {
	Median    float64 // of the price
	LogSD     float64
	Available float64 // probability of finding it at all, 0–1
	Carry     float64 // added to the price: what keeping it until use costs
}

// Mean is the expected price, Carry left out.
func (p Port) Mean() float64 { return p.Median * math.Exp(p.LogSD*p.LogSD/2) }

// Wait is the expected cost of leaving a unit to the ports ahead, in route
// order, when at each one it is bought if the price met is at most what
// waiting on costs. without is the cost when the last port has passed. A unit
// is worth buying here up to that price, less what carrying it costs.
//
// Backward recursion over critical price levels: Kingman 1969; Golabi 1985,
// Operations Research 33:575–588.
func Wait(ahead []Port, without float64) float64 {
	for i := len(ahead) - 1; i >= 0; i-- {
		without = ahead[i].Pass(without)
	}
	return without
}

// Pass is the expected cost of coming to a port with a unit still to buy,
// when going on without it costs beyond.
func (p Port) Pass(beyond float64) float64 {
	return p.Available*p.lesser(beyond) + (1-p.Available)*beyond
}

// lesser is E[min(price + carry, c)].
func (p Port) lesser(c float64) float64 {
	c -= p.Carry
	switch {
	case c <= 0:
		return c + p.Carry
	case p.Median <= 0:
		return p.Carry
	case p.LogSD <= 0:
		return min(p.Median, c) + p.Carry
	}
	m, s := math.Log(p.Median), p.LogSD
	z := (math.Log(c) - m) / s
	return p.Mean()*normal(z-s) + c*(1-normal(z)) + p.Carry
}

// normal is the distribution function of the standard normal.
func normal(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }
