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
	step     int32       // days
	memory   float64     // days in which a level falls to 1/e
	memories []float64   // to choose from; nil: it is given
	last     int32       // day of the newest step's end
	height   [][]float64 // by group, steps backwards from last
	now      []float64   // variance of the newest
	tide2    float64
	start    float64
	slope    []float64 // per year
	slope2   float64   // variance of slopes about the common one; 0: none
	common   float64
	groupOf  func(*cell) int32 // below 0: none
	voiceOf  func(*cell) int32 // what has one say per step in a group
}

func (f *fit) countryOfCell(c *cell) int32 { return f.countryOf[c.port] }

func itemOfCell(c *cell) int32 { return c.item }

func (f *fit) newTides(groups int, start float64, step int32, memory float64, groupOf, voiceOf func(*cell) int32) tides {
	t := tides{
		step: step, memory: memory, last: int32(f.in.Day), height: make([][]float64, groups), now: make([]float64, groups), slope: make([]float64, groups),
		tide2: start * start, start: start * start, groupOf: groupOf, voiceOf: voiceOf,
	}
	for k := range f.sights {
		o := &f.sights[k]
		g := groupOf(&f.cells[o.cell])
		if g < 0 {
			continue
		}
		if n := stepOf(t.last, o.day, step) + 1; n > len(t.height[g]) {
			t.height[g] = append(t.height[g], make([]float64, n-len(t.height[g]))...)
		}
	}
	return t
}

func stepOf(last, day, step int32) int { return int(last-day) / int(step) }

// farAhead bounds how long a slope is followed, in years.
const farAhead = 1

// years before the last day that a step lies, negative.
func (t *tides) years(step int) float64 { return -float64(step) * float64(t.step) / 365.25 }

// at is the level on a day not after the last, against the last.
func (t *tides) at(group, day int32) float64 {
	if group < 0 {
		return 0
	}
	k := stepOf(t.last, day, t.step)
	y := t.slope[group] * t.years(k)
	if k < len(t.height[group]) {
		y += t.height[group][k]
	}
	return y
}

// ahead is the level expected some days after the last.
func (t *tides) ahead(group int32, days float64) float64 {
	if group < 0 {
		return 0
	}
	return t.at(group, t.last)*math.Exp(-math.Abs(days)/t.memory) + t.slope[group]*min(max(days/365.25, -farAhead), farAhead)
}

// doubt is the variance of the newest level.
func (t *tides) doubt(group int32) float64 {
	if group < 0 {
		return 0
	}
	return t.now[group]
}

// together tells every group's mean residual, those that leave their report
// out, voice by voice and step by step, with the weight it may have: however
// many reports agree, they may have a cause in common.
func (f *fit) together(groupOf, voiceOf func(*cell) int32, days int32, common float64, tell func(group int32, step int, off, w float64)) {
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
		at, w := key{groupOf(c), voiceOf(c), stepOf(int32(f.in.Day), o.day, days)}, f.hearing(o)
		if at.group < 0 {
			continue
		}
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
		tell(at.group, at.step, s.mean(), 1/(1/s.info+common))
	}
}

// learnShock learns how far an item in a country is off in one step of time.
func (f *fit) learnShock() {
	var seen spread
	f.together(f.countryOfCell, itemOfCell, tideStep, 0, func(_ int32, _ int, off, w float64) {
		seen.seen = append(seen.seen, off)
		seen.noise = append(seen.noise, 1/w)
	})
	f.shock2 = seen.likeliest(startShock*startShock, startShock*startShock)
}

// learnTides smooths every group's residuals over its steps.
func (f *fit) learnTides(t *tides, common float64) {
	pull, info := make([][]float64, len(t.height)), make([][]float64, len(t.height))
	for g := range pull {
		n := len(t.height[g])
		pull[g], info[g] = make([]float64, n), make([]float64, n)
	}
	f.together(t.groupOf, t.voiceOf, t.step, common, func(group int32, step int, off, w float64) {
		pull[group][step] += w * off
		info[group][step] += w
	})
	seen := make([]course, len(t.height))
	for g := range seen {
		seen[g] = t.course(g, pull[g], info[g])
	}
	t.slopes(seen)
	for g := range seen {
		c := &seen[g]
		for k, s := range c.steps {
			c.level[k] -= t.slope[g] * t.years(s)
		}
	}
	if len(t.memories) > 0 {
		t.recall(seen)
	}
	sum, n := priorEffects*t.start, float64(priorEffects)
	for g := range seen {
		s, m := t.smooth(g, &seen[g])
		sum += s
		n += m
	}
	if len(t.memories) == 0 {
		t.tide2 = sum / n
	}
}

// course is what is seen of a group's level over time.
type course struct {
	steps  []int // with reports, oldest first
	sights []sight
	level  []float64 // the slope's part included
}

func (t *tides) process() process { return process{cell2: t.tide2, noise2: 1, memory: t.memory} }

func (t *tides) course(group int, pull, info []float64) course {
	var c course
	for s := len(info) - 1; s >= 0; s-- {
		if info[s] > 0 {
			c.steps = append(c.steps, s)
			c.sights = append(c.sights, sight{day: -int32(s) * t.step, spread: 1 / info[s], weight: 1})
			c.level = append(c.level, t.height[group][s]+t.slope[group]*t.years(s)+pull[s]/info[s])
		}
	}
	return c
}

// smooth sets a group's levels beside its slope, and gives the sum of their
// expected squares over the steps with reports, and how many these are.
func (t *tides) smooth(group int, c *course) (sum, n float64) {
	p, height := t.process(), t.height[group]
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
		fade := p.fade(float64(last) * float64(t.step))
		t.now[group] = t.tide2 - fade*fade*(t.tide2-out[k].variance)
		for s := range last { // steps since, of which nothing is heard
			height[s] = out[k].mean * p.fade(float64(last-s)*float64(t.step))
		}
	}
	return sum, n
}
