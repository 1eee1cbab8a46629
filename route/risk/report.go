package risk

import (
	"math"

	"hardtack/pricing/item"
	"hardtack/route/chance"
)

// Report is what many walks of a season say of it. Money is in the brief's
// currency, amounts in need-units.
type Report struct {
	Walks    int                             `json:"walks"`
	Spent    Spread                          `json:"spent"`    // goods and trips
	Total    Spread                          `json:"total"`    // with lines, taste and what going short counts
	Shortage Spread                          `json:"shortage"` // what going short of use and reserve counts; no money
	Classes  map[item.Necessity]chance.Share `json:"classes"`  // some need of the class runs short
	Periods  map[item.Necessity]ClassRisk    `json:"periods"`  // each need of the class in each stay and on each leg it is used on
	Needs    []NeedRisk                      `json:"needs"`    // in the order of the brief
}

// ClassRisk is what share of the stays and legs, needs of a class used on them,
// ran short: over all walks, a long season no worse than a short one.
type ClassRisk struct {
	Short float64 `json:"short"`
	Bare  float64 `json:"bare"` // of what no shelf passed had in reach, whatever room and money
}

// Spread is how an amount of money is distributed over the walks.
type Spread struct {
	Mean  float64 `json:"mean"`
	Error float64 `json:"standard_error"` // of the mean
	P10   float64 `json:"p10"`
	P50   float64 `json:"p50"`
	P90   float64 `json:"p90"`
}

// NeedRisk is how a need fares. Running short is lacking more than 1 % of the
// use of a stay or leg.
type NeedRisk struct {
	Need    string         `json:"need"`
	Class   item.Necessity `json:"class"`
	Short   chance.Share   `json:"short"`             // anywhere in the season
	Lacking float64        `json:"lacking"`           // expected, the season over
	Cost    float64        `json:"cost"`              // what that counts
	Periods []PeriodRisk   `json:"periods,omitempty"` // where it ran short at all
}

// PeriodRisk is how a need fares in one stay or on one leg.
type PeriodRisk struct {
	Leg   bool         `json:"leg"` // else a stay
	Stop  int          `json:"stop"`
	Short chance.Share `json:"short"`
}

// Report sums the walks up.
func (out *Walked) Report() Report {
	r := Report{
		Walks: out.Walks, Classes: map[item.Necessity]chance.Share{}, Periods: map[item.Necessity]ClassRisk{},
		Spent:    out.spread(func(o *outcome) float64 { return o.spent() }),
		Total:    out.spread(func(o *outcome) float64 { return o.total() }),
		Shortage: out.spread(func(o *outcome) float64 { return o.missing + o.reserve }),
	}
	for n := range out.needs {
		r.Needs = append(r.Needs, out.need(n))
		class := out.doubt.Needs[n].Class
		if _, done := r.Classes[class]; !done {
			r.Classes[class] = chance.ShareOf(out.count(func(o *outcome) bool { return out.shortOf(o, class) }), out.Walks)
			r.Periods[class] = out.periods(class)
		}
	}
	return r
}

func (out *Walked) periods(class item.Necessity) ClassRisk {
	all, short, bare := 0, 0, 0
	for n, need := range out.needs {
		if out.doubt.Needs[n].Class != class {
			continue
		}
		for q := range out.short[n] {
			use := need.UseInPort[q/2]
			if q%2 == 1 {
				use = need.UseAtSea[q/2]
			}
			if use > 0 {
				all, short, bare = all+out.Walks, short+out.short[n][q], bare+out.bare[n][q]
			}
		}
	}
	if all == 0 {
		return ClassRisk{}
	}
	return ClassRisk{Short: float64(short) / float64(all), Bare: float64(bare) / float64(all)}
}

func (out *Walked) shortOf(o *outcome, class item.Necessity) bool {
	for n, ran := range o.ran {
		if ran && out.doubt.Needs[n].Class == class {
			return true
		}
	}
	return false
}

func (out *Walked) count(is func(*outcome) bool) int {
	k := 0
	for i := range out.outcomes {
		if is(&out.outcomes[i]) {
			k++
		}
	}
	return k
}

func (out *Walked) need(n int) NeedRisk {
	cost := out.mean(func(o *outcome) float64 { return o.byNeed[n] })
	r := NeedRisk{Need: out.needs[n].ID, Class: out.doubt.Needs[n].Class, Cost: cost,
		Short: chance.ShareOf(out.count(func(o *outcome) bool { return o.ran[n] }), out.Walks)}
	if out.needs[n].MissingCost > 0 {
		r.Lacking = cost / out.needs[n].MissingCost
	}
	for q, k := range out.short[n] {
		if k > 0 {
			r.Periods = append(r.Periods, PeriodRisk{Leg: q%2 == 1, Stop: q / 2, Short: chance.ShareOf(k, out.Walks)})
		}
	}
	return r
}

// mean sums in the order of the walks, so that it does not depend on who
// walked them.
func (out *Walked) mean(of func(*outcome) float64) float64 {
	sum := 0.0
	for i := range out.outcomes {
		sum += of(&out.outcomes[i])
	}
	return sum / float64(out.Walks)
}

func (out *Walked) spread(of func(*outcome) float64) Spread {
	x := make([]float64, out.Walks)
	for i := range x {
		x[i] = of(&out.outcomes[i])
	}
	return spreadOf(x)
}

func spreadOf(x []float64) Spread {
	s := Spread{P10: chance.Quantile(x, 0.1), P50: chance.Quantile(x, 0.5), P90: chance.Quantile(x, 0.9)}
	s.Mean, s.Error = meanError(x)
	return s
}

func meanError(x []float64) (mean, se float64) {
	for _, v := range x {
		mean += v
	}
	mean /= float64(len(x))
	if len(x) < 2 {
		return mean, 0
	}
	for _, v := range x {
		se += (v - mean) * (v - mean)
	}
	return mean, math.Sqrt(se / float64(len(x)-1) / float64(len(x)))
}

// Difference is how seasons that met the same weather, prices and shelves
// differ: the second less the first.
type Difference struct {
	Spent    Spread `json:"spent"`
	Shortage Spread `json:"shortage"`
	Total    Spread `json:"total"`
}

// Compare sets walks of the same seed and number side by side; it panics when
// their numbers differ.
func Compare(first, second *Walked) Difference {
	if first.Walks != second.Walks {
		panic("risk: walks of different numbers compared")
	}
	differ := func(of func(*outcome) float64) Spread {
		x := make([]float64, first.Walks)
		for i := range x {
			x[i] = of(&second.outcomes[i]) - of(&first.outcomes[i])
		}
		return spreadOf(x)
	}
	return Difference{
		Spent:    differ(func(o *outcome) float64 { return o.spent() }),
		Shortage: differ(func(o *outcome) float64 { return o.missing + o.reserve }),
		Total:    differ(func(o *outcome) float64 { return o.total() }),
	}
}
