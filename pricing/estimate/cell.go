package estimate

import "math"

// sight is one report as the model sees it.
type sight struct {
	y        float64 // log price less what the prior expects
	known    float64 // of y, what is learned of the report itself: see adjust
	x        float64 // log pack ratio
	day      int32
	cell     int32
	reporter int32
	shop     int32   // -1 when none is named
	source   int32   // place among the standing reports
	remark   bool    // cheap, fair or dear: y speaks of d alone
	receipt  bool    // best source: what intervals speak of
	spread   float64 // variance against that of a receipt: source, repeats; a remark's own
	share    float64 // of one report, when it is one of several by one reporter
	again    bool    // not the first of these
	weight   float64 // robust weight and trust
	held     bool    // a probable slip, not used
	jump     bool    // the price moved for good between the sight before and this one

	off     float64 // residual against all but this report
	offSD2  float64 // its variance, that of one receipt included
	without float64 // variance of the cell's deviation without this report
}

// process is the cells' own deviation and the reports' noise.
type process struct {
	cell2, noise2 float64 // variances
	memory        float64 // days
}

// noise is the variance of one sight about the cell's price.
func (p process) noise(o *sight) float64 {
	if o.held {
		return math.Inf(1)
	}
	if o.remark {
		return o.spread * p.cell2 / o.weight
	}
	return p.noise2 * o.spread / o.weight
}

// of is the process of an item's cells: what is fresh is forgotten sooner.
func (f *fit) of(item int32) process {
	p := f.process
	if f.fresh(item) {
		p.memory *= freshMemory
	}
	return p
}

// fade is the correlation of a deviation over a number of days.
func (p process) fade(days float64) float64 { return math.Exp(-math.Abs(days) / p.memory) }

// afterJump is what is left of the correlation across a jump.
const afterJump = 0.2

// between is the correlation of a deviation between two sights.
func (p process) between(before, after *sight) float64 {
	f := p.fade(float64(after.day - before.day))
	if after.jump {
		f *= afterJump
	}
	return f
}

// belief is what a cell's reports say of its deviation on the day believed
// about: mean is y − u·level − x·pack with the level and pack
// terms to be filled in.
type belief struct {
	y, u, x  float64
	variance float64
}

func (b belief) mean(level, pack float64) float64 {
	return b.y - b.u*level - b.x*pack
}

// reduce runs a Kalman filter over a cell's sights, ascending by day, on all
// columns at once; day is the day believed about. It is exact: simple kriging
// with exponential covariance.
func (p process) reduce(sights []sight, day int32) (stat, belief) {
	var s stat
	var m [3]float64 // state of the columns 1, x, y
	v := p.cell2
	for k := range sights {
		o := &sights[k]
		if k > 0 {
			v = p.age(&m, v, p.between(&sights[k-1], o))
		}
		n := p.noise(o)
		if math.IsInf(n, 1) {
			continue
		}
		c := o.columns()
		gain := v / (v + n)
		for i := range c {
			c[i] -= m[i]
		}
		s.add(c, 1/(v+n))
		for i := range m {
			m[i] += gain * c[i]
		}
		v *= 1 - gain
	}
	if n := len(sights); n > 0 {
		v = p.age(&m, v, p.fade(float64(day-sights[n-1].day)))
	}
	return s, belief{y: m[2], u: m[0], x: m[1], variance: v}
}

func (o *sight) columns() [3]float64 {
	if o.remark {
		return [3]float64{0, 0, o.y}
	}
	return [3]float64{1, o.x, o.y - o.known}
}

func (p process) age(m *[3]float64, v, f float64) float64 {
	if f == 1 {
		return v
	}
	for i := range m {
		m[i] *= f
	}
	return p.cell2 - f*f*(p.cell2-v)
}

func (s *stat) add(e [3]float64, w float64) {
	s.a[0] += w * e[0] * e[0]
	s.a[1] += w * e[0] * e[1]
	s.a[2] += w * e[1] * e[1]
	s.b[0] += w * e[0] * e[2]
	s.b[1] += w * e[1] * e[2]
}

// smoothed is the deviation on a sight's day given all sights of the cell.
type smoothed struct{ mean, variance float64 }

// smooth is the Rauch-Tung-Striebel smoother on sights with the level and pack
// terms taken off in rest. It writes into out, which has the
// sights' length, and gives the log likelihood of the innovations.
func (p process) smooth(sights []sight, rest []float64, out []smoothed) (loglik float64) {
	mean, v := 0.0, p.cell2
	for k := range sights {
		if k > 0 {
			f := p.between(&sights[k-1], &sights[k])
			mean, v = f*mean, p.cell2-f*f*(p.cell2-v)
		}
		if n := p.noise(&sights[k]); !math.IsInf(n, 1) {
			e, total := rest[k]-mean, v+n
			loglik -= 0.5 * (math.Log(total) + e*e/total)
			mean += v / total * e
			v *= n / total
		}
		out[k] = smoothed{mean, v}
	}
	for k := len(sights) - 2; k >= 0; k-- {
		f := p.between(&sights[k], &sights[k+1])
		ahead := p.cell2 - f*f*(p.cell2-out[k].variance) // predicted variance of k+1
		j := out[k].variance * f / ahead
		out[k] = smoothed{
			out[k].mean + j*(out[k+1].mean-f*out[k].mean),
			out[k].variance + j*j*(out[k+1].variance-ahead),
		}
	}
	return loglik
}

// leave takes a sight with residual e and noise n out of what all say.
func (s smoothed) leave(e, n float64) smoothed {
	if math.IsInf(n, 1) {
		return s
	}
	precision := 1/s.variance - 1/n
	if precision <= 0 { // rounding: nothing else is known
		return smoothed{0, s.variance * 1e6}
	}
	return smoothed{(s.mean/s.variance - e/n) / precision, 1 / precision}
}
