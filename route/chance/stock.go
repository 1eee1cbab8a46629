package chance

import (
	"math"
	"slices"
)

// Ratio is the chance of having enough that pays: what a unit short costs
// against what a unit left over costs, where carrying a unit costs room.
//
// The newsvendor's critical ratio; with room as a Lagrangian price on the
// numerator: Hadley & Whitin 1963, Analysis of Inventory Systems.
func Ratio(short, left, room float64) float64 {
	return min(max((short-room)/(short+left), 0), 1)
}

// Quantile is the least value that at least a share p of a sample does not
// exceed, 0 ≤ p ≤ 1: the ⌈p·n⌉-th smallest. It panics for no sample and does
// not change it.
//
// For p = Ratio it is the best stock against the sample: Kleywegt, Shapiro &
// Homem-de-Mello 2002, SIAM J. Optim. 12:479–502.
func Quantile(sample []float64, p float64) float64 {
	x := slices.Sorted(slices.Values(sample))
	k := int(math.Ceil(p*float64(len(x)) - 1e-9))
	return x[min(max(k, 1), len(x))-1]
}

// Share is a proportion seen in n trials with its 95 % limits.
type Share struct {
	Seen float64 `json:"seen"`
	Low  float64 `json:"low95"`
	High float64 `json:"high95"`
}

// ShareOf is k of n with Wilson's score interval, which stays honest at 0 and
// 1: Wilson 1927, JASA 22:209–212. n is at least 1.
func ShareOf(k, n int) Share {
	const z = 1.959963984540054
	p, m := float64(k)/float64(n), float64(n)
	mid := (p + z*z/(2*m)) / (1 + z*z/m)
	half := z / (1 + z*z/m) * math.Sqrt(p*(1-p)/m+z*z/(4*m*m))
	return Share{Seen: p, Low: max(mid-half, 0), High: min(mid+half, 1)}
}
