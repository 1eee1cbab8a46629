package estimate

import (
	"cmp"
	"math"
	"slices"
)

// A reporter's own level: honest ones are within honestSD of the others, one
// in twenty may be anywhere within liarSD.
const (
	honestSD = 0.07
	liarSD   = 0.7
	liarOdds = 0.05 / 0.95
	// looseness is learned against this many reports of an ordinary reporter.
	looseReports = 6
	// wildest bounds what one squared residual says of its reporter.
	wildest = 100
	// a reporter is half known after this many reports, and newcomers are
	// those with fewer.
	newcomer = 4
)

// crowd is what is learned of the reporters, by number.
type crowd struct {
	bias   []float64 // log ratio to what others pay
	loose  []float64 // noise variance against the ordinary
	trust  []float64 // probability of being honest
	senior []float64 // weight for how much is known of them, 1 on average over reports
	count  []float64 // price reports, those of one cell and fortnight as one
	wild   []float64 // mean squared residual about the bias against what is expected, 1 or more
}

func newCrowd(count []float64) crowd {
	n := len(count)
	c := crowd{make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), count, make([]float64, n)}
	for u, x := range count {
		c.loose[u], c.trust[u], c.senior[u], c.wild[u] = 1, 1, x/(x+newcomer), 1
	}
	level(c.senior, count)
	return c
}

// level makes x one on average over reports.
func level(x, count []float64) {
	sum, all := 0.0, 0.0
	for u, n := range count {
		sum += n * x[u]
		all += n
	}
	if sum == 0 {
		return
	}
	for u := range x {
		x[u] *= all / sum
	}
}

// weight is what a reporter's reports count. Those of one who always lies by
// the same factor tell as much as others once it is taken off; those of one who
// lies differently every time next to nothing.
func (c *crowd) weight(u int32) float64 {
	return c.senior[u] / c.loose[u] * c.worth(u)
}

// worth is the share of what a reporter says that tells of prices.
func (c *crowd) worth(u int32) float64 { return c.trust[u] + (1-c.trust[u])/c.wild[u] }

// residuals sums up a reporter's residuals that leave the report out.
type residuals struct{ sum, info, square, n, plain float64 }

func (r *residuals) add(e, v, bias, share float64) {
	w := share * studentWeight(e*e/v)
	r.sum += w / v * (e + bias)
	r.info += w / v
	r.square += w * e * e / v
	r.n += share
	r.plain += share * min(e*e/v, wildest)
}

func (r *residuals) mean() float64 { return r.sum / r.info }

// reporters learns each reporter's bias, noise and honesty.
func (f *fit) reporters() { f.judge(f.heard()) }

// heard are the residuals of every reporter.
func (f *fit) heard() []residuals {
	of := make([]residuals, len(f.bias))
	for k := range f.sights {
		if o := &f.sights[k]; !o.remark && !o.held {
			of[o.reporter].add(o.off, o.offSD2, f.bias[o.reporter], o.share)
		}
	}
	return of
}

// judge judges reporters against the one in the middle: what most seem to be
// off is no bias of theirs but a wrong level of ours. Newcomers are judged
// together as well, for of each alone too little is known.
func (c *crowd) judge(of []residuals) {
	middle := c.middle(of)
	var fresh residuals
	for u, r := range of {
		if r.n > 0 && c.count[u] < newcomer {
			fresh.sum += r.sum - middle*r.info
			fresh.info += r.info
		}
	}
	class := 1.0
	if fresh.info > 0 {
		class = honesty(fresh.mean(), 1/fresh.info)
	}
	for u, r := range of {
		c.bias[u], c.trust[u] = 0, 1
		if r.n == 0 {
			continue
		}
		off := r.mean() - middle
		c.trust[u] = honesty(off, 1/r.info)
		honest, liar := r.info/(r.info+1/(honestSD*honestSD)), r.info/(r.info+1/(liarSD*liarSD))
		c.bias[u] = off * (c.trust[u]*honest + (1-c.trust[u])*liar)
		c.wild[u] = max(1, r.plain/r.n)
		c.loose[u] = (looseReports + r.square) / (looseReports + r.n)
		if c.count[u] < newcomer {
			c.trust[u] *= class
		}
	}
	level(c.loose, c.count)
}

// middle is the weighted median of reporters' mean residuals; those of whom
// much is known weigh most, but none more than twenty reports.
func (c *crowd) middle(of []residuals) float64 {
	type voice struct{ mean, weight float64 }
	var all []voice
	total := 0.0
	for u, r := range of {
		if r.n > 0 {
			v := voice{r.mean(), min(c.count[u], 20) * c.count[u] / (c.count[u] + newcomer)}
			all = append(all, v)
			total += v.weight
		}
	}
	slices.SortFunc(all, func(a, b voice) int { return cmp.Compare(a.mean, b.mean) })
	sum := 0.0
	for _, v := range all {
		sum += v.weight
		if sum >= total/2 {
			return v.mean
		}
	}
	return 0
}

// honesty is the probability of being one of the honest, given the mean
// residual and its variance.
func honesty(mean, v float64) float64 {
	honest, liar := v+honestSD*honestSD, v+liarSD*liarSD
	odds := liarOdds * math.Sqrt(honest/liar) * math.Exp(mean*mean/2*(1/honest-1/liar))
	return 1 / (1 + odds)
}
