package estimate

import "math"

// Weights of the start values against effects seen, when variances are learned.
const (
	priorEffects = 8
	priorReports = 60
)

// spread is what one block of effects shows of its variance: of each effect
// the estimate it would have unshrunk, and the variance of that.
type spread struct{ seen, noise []float64 }

// add takes an effect shrunk under the variance prior, with the reports'
// information about it.
func (s *spread) add(shrunk, info, prior float64) {
	s.seen = append(s.seen, shrunk*(1+1/(info*prior)))
	s.noise = append(s.noise, 1/info)
}

// likeliest is the variance under which what was seen is likeliest, by Fisher
// scoring, with the start value as so many effects that were seen exactly.
func (s *spread) likeliest(now, start float64) float64 {
	v := now
	for range 30 {
		slope, curve := 0.0, 0.0
		add := func(square, total, n float64) {
			slope += n * (square - total) / (total * total)
			curve += n / (total * total)
		}
		add(start, v, priorEffects)
		for k, x := range s.seen {
			add(x*x, v+s.noise[k], 1)
		}
		next := min(max(v+slope/curve, v/3), 3*v)
		if math.Abs(next-v) < 1e-4*v {
			return next
		}
		v = next
	}
	return v
}

// variances moves every variance to what the effects show, the others given.
func (f *fit) variances() {
	s, d := startScales(f.informed), &f.doubt
	block := func(from int, info []float64, now, start float64) float64 {
		var seen spread
		for k, x := range info {
			if x > 0 {
				seen.add(f.off(f.theta, from+k), x, now)
			}
		}
		return seen.likeliest(now, start)
	}
	country2 := block(f.country, d.countryInfo, f.country2, s.country2)
	twist2 := block(f.twist, d.twistInfo, f.twist2, s.twist2)
	product2 := block(f.product, d.productInfo, f.product2, s.product2)
	port2 := block(f.port, d.portInfo, f.port2, s.port2)
	f.item2 = f.learnItem(s.item2)
	f.country2, f.twist2, f.product2, f.port2 = country2, twist2, product2, port2
	f.learnProcess()
}

// learnItem scales the items' variances, in units of the start value.
func (f *fit) learnItem(start float64) float64 {
	sum, n := priorEffects*1.0, float64(priorEffects)
	for i, info := range f.doubt.itemInfo {
		if info > 0 && (f.spread[i] > 0 || !f.informed) {
			x := f.off(f.theta, f.item+i)
			sum += (x*x + f.doubt.item[i]) / (f.itemVariance(i) * start / f.item2)
			n++
		}
	}
	return start * sum / n
}

// learnProcess learns the variances of the cells' deviations and of the noise:
// one step of expectation maximisation, the doubt about the level included.
// What wild liars say tells nothing of either.
func (f *fit) learnProcess() {
	noise, cells := startNoise*startNoise*priorReports, startCell*startCell*priorReports
	n, m := float64(priorReports), float64(priorReports)
	for k := range f.sights {
		o := &f.sights[k]
		if o.held || o.remark {
			continue
		}
		s, c := f.smooth0[k], &f.cells[o.cell]
		e := f.rest[k] - s.mean
		v := f.doubt.level(c.port, c.item)
		own := 1 - s.variance/f.cell2 // of a mistaken level, what the deviation takes up
		worth := f.worth(o.reporter)
		noise += worth * o.weight / o.spread * (e*e + s.variance + (1-own)*(1-own)*v) // share over the spread it made
		n += worth * o.share
		cells += worth * o.share * (s.mean*s.mean + s.variance + own*own*v)
		m += worth * o.share
	}
	f.noise2, f.cell2 = noise/n, cells/m
}
