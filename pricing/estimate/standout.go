package estimate

import (
	"cmp"
	"math"
	"slices"
)

// Standout is a reporter whose prices are not those of the others, for a
// person to look at. The model has taken account of it already.
type Standout struct {
	Reporter string  `json:"reporter"`
	Reports  int     `json:"reports"` // prices, those of one pair and fortnight as one
	Times    float64 `json:"times"`   // what they say against what the others make one expect, on average
}

// Of at most this share of the reporters is said that they stand out, at this
// level of significance.
const (
	standoutShare = 0.4
	standoutLevel = 0.05
)

// Standouts are the reporters who stand out, the farthest first. Of one with
// few reports next to nothing can be said.
func (m *Model) Standouts() []Standout {
	f := m.fit
	of := f.heard()
	names := make([]string, len(of))
	for name, u := range f.reporterAt {
		names[u] = name
	}
	middle := f.middle(of)
	var who []Standout
	var far []float64
	for u, r := range of {
		if r.n < newcomer {
			continue
		}
		off := r.mean() - middle
		who = append(who, Standout{names[u], int(math.Round(f.count[u])), math.Exp(off)})
		far = append(far, off/math.Sqrt(1/r.info+honestSD*honestSD))
	}
	steps, n := extremesOf(far, int(standoutShare*float64(len(far))), standoutLevel)
	out := make([]Standout, n)
	for k := range out {
		out[k] = who[steps[k].at]
	}
	slices.SortStableFunc(out, func(a, b Standout) int {
		return cmp.Or(cmp.Compare(math.Abs(math.Log(b.Times)), math.Abs(math.Log(a.Times))), cmp.Compare(a.Reporter, b.Reporter))
	})
	return out
}
