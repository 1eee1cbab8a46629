package chance

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Demand is what is used on a passage: a rate that is not quite known times a
// number of days that is not either. The rate is Gamma distributed, the days
// lognormal, independent of each other.
type Demand struct {
	PerDay float64 // mean rate
	CV     float64 // of the rate: sd over mean; 0 = known
	Days   float64 // median length
	LogSD  float64 // of the length; 0 = known
}

// Mean is the expected use.
func (d Demand) Mean() float64 { return d.PerDay * d.Days * math.Exp(d.LogSD*d.LogSD/2) }

// CDF is the probability that no more than x is used.
func (d Demand) CDF(x float64) float64 {
	if d.PerDay*d.Days == 0 {
		return 1
	}
	switch {
	case d.LogSD == 0:
		return d.rate(x / d.Days)
	case d.CV == 0:
		return normal(math.Log(max(x, 0)/(d.PerDay*d.Days)) / d.LogSD)
	}
	// The midpoint rule over the normal score of the length; its tails beyond
	// eight sd weigh less than 1e-15.
	const n, reach = 400, 8.0
	sum, step := 0.0, 2*reach/n
	for i := range n {
		z := -reach + (float64(i)+0.5)*step
		sum += d.rate(x/(d.Days*math.Exp(d.LogSD*z))) * math.Exp(-z*z/2)
	}
	return min(sum*step/math.Sqrt(2*math.Pi), 1)
}

func (d Demand) rate(x float64) float64 {
	if x <= 0 {
		return 0
	}
	if d.CV == 0 {
		if x < d.PerDay {
			return 0
		}
		return 1
	}
	shape := 1 / (d.CV * d.CV)
	return distuv.Gamma{Alpha: shape, Beta: shape / d.PerDay}.CDF(x)
}

// Quantile is the stock that is enough with probability p, 0 < p < 1, within
// a millionth.
func (d Demand) Quantile(p float64) float64 {
	lo, hi := 0.0, d.Mean()
	if hi == 0 {
		return 0
	}
	for d.CDF(hi) < p {
		lo, hi = hi, 2*hi
	}
	for hi-lo > 1e-7*hi {
		if mid := (lo + hi) / 2; d.CDF(mid) < p {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}
