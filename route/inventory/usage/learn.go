package usage

import (
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"
)

// Trip is what one stretch between two counts says of a need.
type Trip struct {
	Used       float64 // need-units: aboard before, plus what came, less what is left, spoilt or given away
	PersonDays float64 // exposure
	RanOut     bool    // nothing was left and more was wanted: Used is the least it can be
	Guessed    bool    // what was left over was not counted: half a word
	AgeDays    float64 // how long ago it ended
}

// Belief is what is known of a crew's rate.
type Belief struct {
	Trips     int       `json:"trips"`
	Unit      float64   `json:"unit"`       // need-units of one portion
	Rate      Gamma     `json:"rate"`       // portions a person-day, moments of the posterior
	Weights   []Share   `json:"-"`          // of the grid, for prediction
	Kinds     []float64 `json:"kinds"`      // how likely each component of the prior is now
	TripCV    float64   `json:"trip_cv"`    // spread between passages of one crew, standard deviation over mean
	ListRate  float64   `json:"list_rate"`  // need-units a person-day before anything was counted
	ListValue float64   `json:"list_value"` // person-days the list is worth
}

// Share is a point of the grid and how much of the belief lies there.
type Share struct{ Rate, CV, Weight float64 }

// spreads are the coefficients of variation between passages of one crew that
// are thought possible, and how likely before: weather, whims, the cook.
// Judgement, learned from the second passage on; the weights are such that
// intervals cover what they say over crews whose passages differ little or much
// (TestIntervalsCoverWhatTheySay).
var spreads = []struct{ cv, weight float64 }{{0.05, 0.17}, {0.1, 0.23}, {0.2, 0.3}, {0.3, 0.18}, {0.45, 0.08}, {0.7, 0.04}}

// The grid of rates, in steps of the logarithm around the prior's mean: from a
// ten-thousandth to twenty times of it. Where no component of the prior gives
// a rate more than e^-faint of its greatest density nothing is worked out.
const (
	gridPoints = 244
	gridFrom   = -9.2
	gridStep   = 0.05
	faint      = 60
)

// Learn turns a prior and the trips of a crew into a belief. Trips without
// exposure say nothing. The same trips in any order give the same belief, up
// to rounding.
func Learn(p Prior, trips []Trip) Belief {
	cvs, weights := make([]float64, len(spreads)), make([]float64, len(spreads))
	for k, s := range spreads {
		cvs[k], weights[k] = s.cv, s.weight
	}
	return learn(p, trips, cvs, weights)
}

// learn with the spreads between passages given; a spread of 0 is Poisson.
func learn(p Prior, trips []Trip, cvs, weights []float64) Belief {
	b := Belief{Unit: p.Unit, ListRate: p.Mean(), Kinds: make([]float64, len(p.Of))}
	if p.Mean() <= 0 {
		return b
	}
	b.ListValue = p.Of[0].Exposure
	for _, t := range trips {
		if t.PersonDays > 0 {
			b.Trips++
		}
	}
	var logs []float64
	points := p.points(math.Log(p.Mean() / p.Unit))
	before := make([]float64, 0, len(points)*len(p.Of))
	for _, ln := range points {
		for _, of := range p.Of {
			before = append(before, math.Log(of.Weight)+of.logDensity(ln))
		}
	}
	for k, cv := range cvs {
		heard := make([]hearing, len(trips))
		for i, t := range trips {
			heard[i] = hear(t, cv, p.Unit, p.weight(t))
		}
		for n, ln := range points {
			like, rate := math.Log(weights[k]), math.Exp(ln)
			for _, h := range heard {
				like += h.weight * h.logLikelihood(rate)
			}
			for c := range p.Of {
				logs = append(logs, like+before[n*len(p.Of)+c])
				b.Weights = append(b.Weights, Share{Rate: rate, CV: cv, Weight: float64(c)})
			}
		}
	}
	b.settle(logs)
	return b
}

// points are the logarithms of the rates that are possible at all.
func (p Prior) points(centre float64) []float64 {
	most := math.Inf(-1)
	density := func(ln float64) float64 {
		d := math.Inf(-1)
		for _, c := range p.Of {
			d = max(d, math.Log(c.Weight)+c.logDensity(ln))
		}
		return d
	}
	all := make([]float64, gridPoints)
	for n := range all {
		all[n] = centre + gridFrom + gridStep*float64(n)
		most = max(most, density(all[n]))
	}
	return slices.DeleteFunc(all, func(ln float64) bool { return density(ln) < most-faint })
}

// settle normalises the grid and takes its moments.
func (b *Belief) settle(logs []float64) {
	most, sum := math.Inf(-1), 0.0
	for _, x := range logs {
		most = max(most, x)
	}
	for k := range logs {
		logs[k] = math.Exp(logs[k] - most)
		sum += logs[k]
	}
	mean, square := 0.0, 0.0
	for k := range b.Weights {
		w := logs[k] / sum
		s := &b.Weights[k]
		b.Kinds[int(s.Weight)] += w
		s.Weight = w
		mean += w * s.Rate
		square += w * s.Rate * s.Rate
		b.TripCV += w * s.CV
	}
	if v := square - mean*mean; v > 0 {
		b.Rate = Gamma{mean * mean / v, mean / v}
	}
}

// weight is how much a trip's word counts, 0–1.
func (p Prior) weight(t Trip) float64 {
	years := p.Years
	if years == 0 {
		years = twoYears
	}
	w := math.Exp2(-max(0, t.AgeDays) / (years * 365.25))
	if t.Guessed {
		w /= 2
	}
	return w
}

// hearing is what a trip says, for one spread between passages.
type hearing struct {
	portions, days, size float64 // size of the negative binomial; 0 = Poisson
	ranOut               bool
	weight               float64
	constant             float64 // of the logarithm, whatever the rate
}

func hear(t Trip, cv, unit, weight float64) hearing {
	h := hearing{portions: t.Used / unit, days: t.PersonDays, ranOut: t.RanOut, weight: weight}
	c, _ := math.Lgamma(h.portions + 1)
	h.constant = -c
	if cv > 0 {
		h.size = sizeOf(cv)
		a, _ := math.Lgamma(h.portions + h.size)
		b, _ := math.Lgamma(h.size)
		h.constant += a - b
	}
	return h
}

// logLikelihood at a rate in portions a person-day.
func (h hearing) logLikelihood(rate float64) float64 {
	mean := rate * h.days
	switch {
	case mean <= 0:
		return 0
	case h.ranOut:
		return math.Log(max(atLeast(h.portions, mean, h.size), 1e-300))
	case h.size == 0:
		return h.constant + h.portions*math.Log(mean) - mean
	}
	return h.constant - h.size*math.Log1p(mean/h.size) + h.portions*math.Log(mean/(h.size+mean))
}

// atLeast is the chance of n portions or more: the tail of the Poisson, or of
// the negative binomial (NIST Digital Library of Mathematical Functions,
// 8.17.24), continued to parts of a portion.
func atLeast(n, mean, size float64) float64 {
	switch {
	case n <= 0:
		return 1
	case size == 0:
		return mathext.GammaIncReg(n, mean)
	}
	return mathext.RegIncBeta(n, size, mean/(size+mean))
}

// Mean is what one adult uses a day, in need-units.
func (b Belief) Mean() float64 { return b.Rate.Mean() * b.Unit }

// SD is how unsure that mean is, in need-units a person-day.
func (b Belief) SD() float64 {
	if b.Rate.Exposure <= 0 {
		return 0
	}
	return math.Sqrt(b.Rate.Shape) / b.Rate.Exposure * b.Unit
}

// Interval is the central range the rate lies in with probability p, of all
// that is believed, not of its first two moments.
func (b Belief) Interval(p float64) (low, high float64) {
	return b.Quantile((1 - p) / 2), b.Quantile((1 + p) / 2)
}

// Quantile is the rate, in need-units a person-day, that is not exceeded with
// probability p.
func (b Belief) Quantile(p float64) float64 {
	at := map[float64]float64{}
	for _, s := range b.Weights {
		at[s.Rate] += s.Weight
	}
	sum := 0.0
	for _, rate := range slices.Sorted(maps.Keys(at)) {
		// Each rate stands for half a step of the grid to either side.
		if w := at[rate]; sum+w >= p && w > 0 {
			return rate * math.Exp(gridStep*((p-sum)/w-0.5)) * b.Unit
		}
		sum += at[rate]
	}
	return 0
}

// Forecast is what so many person-days will use: mean and standard deviation
// in need-units, with what is not known of the rate, what a passage adds, and
// the grain of portions.
func (b Belief) Forecast(personDays float64) (mean, sd float64) {
	square := 0.0
	for _, s := range b.Weights {
		m := s.Rate * personDays
		mean += s.Weight * m
		square += s.Weight * (m*m*(1+s.CV*s.CV) + m)
	}
	return mean * b.Unit, math.Sqrt(max(0, square-mean*mean)) * b.Unit
}

// Enough is the least amount, in need-units and whole portions, that lasts so
// many person-days with probability p.
func (b Belief) Enough(personDays, p float64) float64 {
	mean, sd := b.Forecast(personDays)
	if mean <= 0 {
		return 0
	}
	low, high := 0.0, math.Ceil((mean+40*sd)/b.Unit)
	for high-low > 1 {
		mid := math.Floor((low + high) / 2)
		if b.short(personDays, mid) <= 1-p {
			high = mid
		} else {
			low = mid
		}
	}
	if b.short(personDays, 0) <= 1-p {
		return 0
	}
	return high * b.Unit
}

// sizeOf is the negative binomial's size for a spread; 0 stands for Poisson.
func sizeOf(cv float64) float64 {
	if cv == 0 {
		return 0
	}
	return 1 / (cv * cv)
}

// short is the chance that more than n portions are used.
func (b Belief) short(personDays, n float64) float64 {
	sum := 0.0
	for _, s := range b.Weights {
		if s.Weight > 1e-9 {
			sum += s.Weight * atLeast(n+1, s.Rate*personDays, sizeOf(s.CV))
		}
	}
	return sum
}
