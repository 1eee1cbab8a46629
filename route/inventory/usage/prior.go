// Package usage learns from counts what a crew really uses: Bayesian rates per
// need and crew, with the catalogue's list as what is believed before.
//
// Units: need-units and person-days of exposure, weighted by the appetite of
// each person, so that a rate is that of one adult; days.
//
// Method: the rate is Gamma before (A. Gelman et al., Bayesian Data Analysis,
// 3rd ed., section 2.6), use on a passage negative binomial around rate ×
// exposure, for no two passages are alike. A passage on which a thing ran out
// says only "at least so much": its likelihood is the tail. All is worked out
// on a grid of rates and spreads, which is exact enough and has no case that
// fails to converge.
package usage

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Gamma is a belief in a rate: mean Shape / Exposure.
type Gamma struct {
	Shape    float64 `json:"shape"`    // events seen, as it were
	Exposure float64 `json:"exposure"` // person-days it is worth
}

// Component is one of the kinds of crew a list was written for.
type Component struct {
	Weight float64
	Gamma
	// Skewed is the share of the belief that is lognormal, of the same mean and
	// spread: whether crews differ by sums or by factors nobody has measured.
	Skewed float64
}

// logDensity of ln(rate).
func (c Component) logDensity(lnRate float64) float64 {
	if c.Skewed == 0 {
		return c.Gamma.logDensity(lnRate)
	}
	variance := math.Log1p(1 / c.Shape)
	z := lnRate - math.Log(c.Gamma.Mean()) + variance/2
	lognormal := math.Exp(-z*z/(2*variance)) / math.Sqrt(2*math.Pi*variance)
	return math.Log((1-c.Skewed)*math.Exp(c.Gamma.logDensity(lnRate)) + c.Skewed*lognormal)
}

// Prior is what is believed of a rate before anything was counted: a mixture,
// such as "uses it" and "hardly uses it".
type Prior struct {
	Of    []Component
	Unit  float64 // need-units of one portion, the grain use comes in
	Years float64 // half-life of a passage's word; 0 = twoYears
}

// twoYears is the half-life of what was learned: crews change their ways.
// Judgement.
const twoYears = 2

// hardlyShare of crews hardly use a comfort or luxury of the list, and then a
// tenth of it: judgement of the trade, no source.
const (
	hardlyShare = 0.1
	hardlyUse   = 0.1
)

// skewed halves the belief between the two shapes, see Component.
const skewed = 0.5

// ListPrior is a list's rate, in need-units a person-day, believed with a
// spread between crews (standard deviation over mean). Things of choice may
// hardly be used at all.
func ListPrior(rate, spread float64, choice, pieces bool) Prior {
	p := Prior{Unit: rate}
	if pieces {
		p.Unit = 1
	}
	if rate <= 0 {
		return p
	}
	main := Component{Weight: 1, Gamma: spreadGamma(rate/p.Unit, spread), Skewed: skewed}
	p.Of = []Component{main}
	if choice {
		p.Of[0].Weight = 1 - hardlyShare
		p.Of = append(p.Of, Component{Weight: hardlyShare, Gamma: spreadGamma(rate/p.Unit*hardlyUse, 1)})
	}
	return p
}

func spreadGamma(mean, cv float64) Gamma {
	shape := 1 / math.Pow(max(cv, 0.05), 2)
	return Gamma{shape, shape / mean}
}

// Mean of the mixture, in need-units a person-day.
func (p Prior) Mean() float64 {
	sum := 0.0
	for _, c := range p.Of {
		sum += c.Weight * c.Gamma.Mean()
	}
	return sum * p.Unit
}

// Mean is the rate expected.
func (g Gamma) Mean() float64 {
	if g.Exposure <= 0 {
		return 0
	}
	return g.Shape / g.Exposure
}

// Quantile is the rate that is not exceeded with probability p, 0–1.
func (g Gamma) Quantile(p float64) float64 {
	return distuv.Gamma{Alpha: g.Shape, Beta: g.Exposure}.Quantile(p)
}

// Above is the chance that the rate is above x.
func (g Gamma) Above(x float64) float64 {
	return distuv.Gamma{Alpha: g.Shape, Beta: g.Exposure}.Survival(x)
}

// logDensity of ln(rate).
func (g Gamma) logDensity(lnRate float64) float64 {
	lg, _ := math.Lgamma(g.Shape)
	return g.Shape*(math.Log(g.Exposure)+lnRate) - g.Exposure*math.Exp(lnRate) - lg
}
