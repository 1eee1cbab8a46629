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
	main := spreadGamma(rate/p.Unit, spread)
	if !choice {
		p.Of = []Component{{1, main}}
		return p
	}
	p.Of = []Component{{1 - hardlyShare, main}, {hardlyShare, spreadGamma(rate/p.Unit*hardlyUse, 1)}}
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

// logDensity of ln(rate), up to nothing: it is normalised.
func (g Gamma) logDensity(lnRate float64) float64 {
	lg, _ := math.Lgamma(g.Shape)
	return g.Shape*(math.Log(g.Exposure)+lnRate) - g.Exposure*math.Exp(lnRate) - lg
}
