package estimate

import "math"

// A country's prices move together when its money falls or it taxes anew, and
// an item's when a harvest fails: every country and every item has a level that
// comes and goes, an Ornstein-Uhlenbeck process in steps, and a country's has a
// steady slope besides.
const (
	tideStep      = 45  // days
	tideMemory    = 270 // days
	startTide     = 0.1
	startItemTide = 0.03
	// startShock is how far what has one cause may be off together, such as an
	// item on offer in all shops of a country.
	startShock = 0.06
)

// tides are the levels of countries, or of items, over time.
type tides struct {
	last    int32       // day of the newest step's end
	height  [][]float64 // by group, steps backwards from last
	now     []float64   // variance of the newest
	tide2   float64
	start   float64
	slope   []float64 // per year
	slope2  float64   // variance of slopes about the common one; 0: none
	common  float64
	groupOf func(*cell) int32
	voiceOf func(*cell) int32 // what has one say per step in a group
}

func (f *fit) countryOfCell(c *cell) int32 { return f.countryOf[c.port] }

func itemOfCell(c *cell) int32 { return c.item }

func (f *fit) newTides(groups int, start float64, groupOf, voiceOf func(*cell) int32) tides {
	t := tides{
		last: int32(f.in.Day), height: make([][]float64, groups), now: make([]float64, groups), slope: make([]float64, groups),
		tide2: start * start, start: start * start, groupOf: groupOf, voiceOf: voiceOf,
	}
	for k := range f.sights {
		o := &f.sights[k]
		g := groupOf(&f.cells[o.cell])
		if n := stepOf(t.last, o.day) + 1; n > len(t.height[g]) {
			t.height[g] = append(t.height[g], make([]float64, n-len(t.height[g]))...)
		}
	}
	return t
}

func stepOf(last, day int32) int { return int(last-day) / tideStep }

// farAhead bounds how long a slope is followed, in years.
const farAhead = 1

// years before the last day that a step lies, negative.
func years(step int) float64 { return -float64(step*tideStep) / 365.25 }

// at is the level on a day not after the last, against the last.
func (t *tides) at(group, day int32) float64 {
	k := stepOf(t.last, day)
	y := t.slope[group] * years(k)
	if k < len(t.height[group]) {
		y += t.height[group][k]
	}
	return y
}

// ahead is the level expected some days after the last.
func (t *tides) ahead(group int32, days float64) float64 {
	return t.at(group, t.last)*math.Exp(-math.Abs(days)/tideMemory) + t.slope[group]*min(max(days/365.25, -farAhead), farAhead)
}

// together tells every group's mean residual, those that leave their report
// out, voice by voice and step by step, with the weight it may have: however
// many reports agree, they may have a cause in common.
func (f *fit) together(groupOf, voiceOf func(*cell) int32, tell func(group int32, step int, off, w float64)) {
	type key struct {
		group, voice int32
		step         int
	}
	sums := map[key]residuals{}
	var keys []key
	for k := range f.sights {
		o := &f.sights[k]
		if o.remark || o.held {
			continue
		}
		c := &f.cells[o.cell]
		at, w := key{groupOf(c), voiceOf(c), stepOf(int32(f.in.Day), o.day)}, f.hearing(o)
		s, old := sums[at]
		if !old {
			keys = append(keys, at)
		}
		s.sum += w * o.off
		s.info += w
		sums[at] = s
	}
	for _, at := range keys { // in the order of the sights: sums are alike every time
		s := sums[at]
		tell(at.group, at.step, s.mean(), 1/(1/s.info+f.shock2))
	}
}

// learnShock learns how far an item in a country is off in one step of time.
func (f *fit) learnShock() {
	var seen spread
	f.shock2 = 0
	f.together(f.countryOfCell, itemOfCell, func(_ int32, _ int, off, w float64) {
		seen.seen = append(seen.seen, off)
		seen.noise = append(seen.noise, 1/w)
	})
	f.shock2 = seen.likeliest(startShock*startShock, startShock*startShock)
}

// learnTides smooths every group's residuals over its steps.
func (f *fit) learnTides(t *tides) {
	pull, info := make([][]float64, len(t.height)), make([][]float64, len(t.height))
	for g := range pull {
		n := len(t.height[g])
		pull[g], info[g] = make([]float64, n), make([]float64, n)
	}
	f.together(t.groupOf, t.voiceOf, func(group int32, step int, off, w float64) {
		pull[group][step] += w * off
		info[group][step] += w
	})
	seen := make([]course, len(t.height))
	for g := range seen {
		seen[g] = t.course(g, pull[g], info[g])
	}
	t.slopes(seen)
	sum, n := priorEffects*t.start, float64(priorEffects)
	for g := range seen {
		s, m := t.smooth(g, &seen[g])
		sum += s
		n += m
	}
	t.tide2 = sum / n
}

// course is what is seen of a group's level over time.
type course struct {
	steps  []int // with reports, oldest first
	sights []sight
	level  []float64 // the slope's part included
}

func (t *tides) process() process { return process{cell2: t.tide2, noise2: 1, memory: tideMemory} }

func (t *tides) course(group int, pull, info []float64) course {
	var c course
	for s := len(info) - 1; s >= 0; s-- {
		if info[s] > 0 {
			c.steps = append(c.steps, s)
			c.sights = append(c.sights, sight{day: -int32(s * tideStep), spread: 1 / info[s], weight: 1})
			c.level = append(c.level, t.height[group][s]+t.slope[group]*years(s)+pull[s]/info[s])
		}
	}
	return c
}

// slopes learns every group's slope, normal about a common one, by generalised
// least squares: a slope is known only as well as the comings and goings allow.
func (t *tides) slopes(seen []course) {
	if t.slope2 == 0 {
		return
	}
	a, b := make([]float64, len(seen)), make([]float64, len(seen))
	top, all := drift/(driftSD*driftSD), 1/(driftSD*driftSD)
	for g := range seen {
		a[g], b[g] = t.trend(&seen[g])
		if a[g] > 0 {
			w := 1 / (1/a[g] + t.slope2)
			top += w * b[g] / a[g]
			all += w
		}
	}
	t.common = top / all
	for g := range seen {
		t.slope[g] = (b[g] + t.common/t.slope2) / (a[g] + 1/t.slope2)
	}
}

// trend gives the information of a course about its slope, and that times its
// estimate: an innovations filter on the level, and on years with it.
func (t *tides) trend(c *course) (a, b float64) {
	p := t.process()
	level, slope, v := 0.0, 0.0, p.cell2
	for k := range c.sights {
		if k > 0 {
			f := p.between(&c.sights[k-1], &c.sights[k])
			level, slope, v = f*level, f*slope, p.cell2-f*f*(p.cell2-v)
		}
		n := p.noise(&c.sights[k])
		e, u := c.level[k]-level, years(c.steps[k])-slope
		a += u * u / (v + n)
		b += u * e / (v + n)
		level += v / (v + n) * e
		slope += v / (v + n) * u
		v *= n / (v + n)
	}
	return a, b
}

// smooth sets a group's levels beside its slope, and gives the sum of their
// expected squares over the steps with reports, and how many these are.
func (t *tides) smooth(group int, c *course) (sum, n float64) {
	p, height := t.process(), t.height[group]
	for k, s := range c.steps {
		c.level[k] -= t.slope[group] * years(s)
	}
	t.now[group] = t.tide2
	out := make([]smoothed, len(c.sights))
	p.smooth(c.sights, c.level, out)
	for k, s := range c.steps {
		height[s] = out[k].mean
		sum += out[k].mean*out[k].mean + out[k].variance
		n++
	}
	if k := len(c.steps) - 1; k >= 0 {
		last := c.steps[k]
		fade := p.fade(float64(last * tideStep))
		t.now[group] = t.tide2 - fade*fade*(t.tide2-out[k].variance)
		for s := range last { // steps since, of which nothing is heard
			height[s] = out[k].mean * p.fade(float64((last-s)*tideStep))
		}
	}
	return sum, n
}
