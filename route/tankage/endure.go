package tankage

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"hardtack/route/inventory/usage"
)

// Passage is how long a passage may take: lognormal around its planned days,
// Spread the standard deviation of the logarithm. Without evidence of its own:
// 0.10 along a coast, 0.20 across an ocean (judgement).
type Passage struct {
	Days   float64
	Spread float64
}

// Spreads of passages without a record of their own.
const (
	CoastalSpread = 0.10
	OceanSpread   = 0.20
)

// Quantile is the length that is not exceeded with probability p.
func (p Passage) Quantile(q float64) float64 {
	if p.Spread <= 0 {
		return p.Days
	}
	return distuv.LogNormal{Mu: math.Log(p.Days), Sigma: p.Spread}.Quantile(q)
}

// Supply is what is aboard and comes on the way: litres of water or kilograms
// of gas.
type Supply struct {
	Aboard float64
	PerDay float64 // income of the watermaker that can be relied on; rain is never counted
	People float64
}

// Endurance is how a supply stands on a passage of some length.
type Endurance struct {
	Chance float64 `json:"chance"` // that the passage takes no longer
	Days   float64 `json:"days"`   // that long
	Uses   float64 `json:"uses"`   // expected until then, less the watermaker's
	Left   float64 `json:"left"`   // expected on arrival; below 0: short
	Enough float64 `json:"enough"` // chance that it lasts those days, 0–1
}

// Stands says how a supply stands when the passage takes as long as its 50, 90
// and 99 % lengths.
func Stands(s Supply, b usage.Belief, p Passage) []Endurance {
	var out []Endurance
	for _, q := range []float64{0.5, 0.9, 0.99} {
		days := p.Quantile(q)
		uses := max(0, b.Mean()*s.People-s.PerDay) * days
		out = append(out, Endurance{Chance: q, Days: days, Uses: uses, Left: s.Aboard - uses, Enough: lasts(s, b, days)})
	}
	return out
}

// lasts is the chance that what is aboard and comes is used up no sooner than
// the days given.
func lasts(s Supply, b usage.Belief, days float64) float64 {
	if s.People <= 0 || days <= 0 || b.Rate.Shape <= 0 {
		return 1
	}
	return 1 - b.Rate.Above((s.Aboard/days+s.PerDay)/s.People/b.Unit)
}

// Lasts is for how many days a supply lasts with a probability, at most a
// hundred thousand: with the rate that is exceeded no more often than that.
func Lasts(s Supply, b usage.Belief, chance float64) float64 {
	const most = 100_000
	if b.Rate.Shape <= 0 || s.People <= 0 {
		return most
	}
	perDay := b.Rate.Quantile(chance)*b.Unit*s.People - s.PerDay
	if perDay <= 0 {
		return most
	}
	return min(most, s.Aboard/perDay)
}

// steps of the passage's length in an integral.
const steps = 400

// Needed is what is used on a passage of unsure length at an unsure rate: the
// amount that is not exceeded with a probability (G. Hadley and T. Whitin,
// Analysis of Inventory Systems, 1963, for what to carry at which).
func Needed(people float64, rate usage.Gamma, unit float64, p Passage, chance float64) float64 {
	perRate := make([]float64, steps)
	for k := range perRate {
		perRate[k] = people * unit * p.Quantile((float64(k)+0.5)/steps)
	}
	enough := func(x float64) float64 {
		sum := 0.0
		for _, uses := range perRate {
			sum += 1 - rate.Above(x/uses)
		}
		return sum / steps
	}
	low, high := 0.0, rate.Mean()*unit*people*p.Days
	for chance < 1 && high > 0 && enough(high) < chance {
		low, high = high, high*2
	}
	for high-low > 1e-6*high {
		mid := (low + high) / 2
		if enough(mid) < chance {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}

// CriticalRatio is the probability worth carrying for: what one unit short
// costs against what one unit over does (the newsvendor's).
func CriticalRatio(short, over float64) float64 { return short / (short + over) }
