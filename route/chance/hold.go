package chance

import "math"

// Shelf is a port ahead where a thing may be found, and what is used until
// the arrival there.
type Shelf struct {
	Found float64 // probability of finding it, given that none was found before, 0–1
	Mean  float64 // expected use until then
	CV    float64 // of that use: sd over mean
}

// Hold is the least stock that runs out before the thing is found with at
// most the chance allowed, 0 < allowed < 1. The ports ahead are in route order;
// rest is the use until there is no need of it any more, should it be found at
// none of them. Use is taken as lognormal with its mean and variance.
//
// Where use is known, it is the use until the first port by which the product
// of the chances of finding nothing is at most allowed; where the next port is
// certain, a quantile of the use until there.
func Hold(ahead []Shelf, rest Shelf, allowed float64) float64 {
	hi := rest.Mean
	for _, x := range ahead {
		hi = max(hi, x.Mean)
	}
	if hi == 0 {
		return 0
	}
	lo := 0.0
	for lacking(ahead, rest, hi) > allowed {
		lo, hi = hi, 2*hi
	}
	for hi-lo > 1e-6*hi {
		if mid := (lo + hi) / 2; lacking(ahead, rest, mid) > allowed {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

// lacking is the chance that a stock runs out before the thing is found.
func lacking(ahead []Shelf, rest Shelf, stock float64) float64 {
	sum, none := 0.0, 1.0
	for _, x := range ahead {
		sum += none * x.Found * x.above(stock)
		none *= 1 - x.Found
	}
	return sum + none*rest.above(stock)
}

// above is the chance that more than a stock is used.
func (s Shelf) above(stock float64) float64 {
	switch {
	case s.Mean <= 0:
		return 0
	case s.CV <= 0:
		if stock < s.Mean {
			return 1
		}
		return 0
	case stock <= 0:
		return 1
	}
	v := math.Log1p(s.CV * s.CV)
	return normal((math.Log(s.Mean/stock) - v/2) / math.Sqrt(v))
}

// Missed is the chance of looking in vain so many times, when a single look
// finds the thing with probability found and that is itself known only as well
// as from strength looks: where it was missed once it is likelier to be missed
// again. strength is above 0.
//
// Beta-binomial: B(α, β+n)/B(α, β) with α = found·strength, β = (1−found)·strength.
func Missed(found, strength float64, looks int) float64 {
	p, beta := 1.0, (1-found)*strength
	for i := range looks {
		p *= (beta + float64(i)) / (strength + float64(i))
	}
	return p
}
