package estimate

// A country's prices move together when its money falls or it taxes anew: on
// top of a steady drift every country has a level that comes and goes, an
// Ornstein-Uhlenbeck process in steps.
const (
	tideStep   = 45  // days
	tideMemory = 270 // days
	startTide  = 0.1
)

// tides are the countries' levels over time.
type tides struct {
	last   int32       // day of the newest step's end
	height [][]float64 // by country, steps backwards from last
	now    []float64   // variance of the newest
	tide2  float64
}

func (f *fit) newTides() tides {
	t := tides{last: int32(f.in.Day), height: make([][]float64, f.countries), now: make([]float64, f.countries), tide2: startTide * startTide}
	for k := range f.sights {
		o := &f.sights[k]
		c := f.countryOf[f.cells[o.cell].port]
		if n := t.step(o.day) + 1; n > len(t.height[c]) {
			t.height[c] = append(t.height[c], make([]float64, n-len(t.height[c]))...)
		}
	}
	return t
}

func (t *tides) step(day int32) int { return int(t.last-day) / tideStep }

// at is the level on a day not after the last; steps nobody reported in are 0.
func (t *tides) at(country, day int32) float64 {
	if k := t.step(day); k < len(t.height[country]) {
		return t.height[country][k]
	}
	return 0
}

// learnTides smooths every country's residuals, those that leave their report
// out, over its steps.
func (f *fit) learnTides() {
	pull, info := make([][]float64, f.countries), make([][]float64, f.countries)
	for c := range pull {
		n := len(f.tides.height[c])
		pull[c], info[c] = make([]float64, n), make([]float64, n)
	}
	for k := range f.sights {
		o := &f.sights[k]
		if o.remark || o.held {
			continue
		}
		c, s, w := f.countryOf[f.cells[o.cell].port], f.step(o.day), f.hearing(o)
		pull[c][s] += w * o.off
		info[c][s] += w
	}
	sum, n := priorEffects*startTide*startTide, float64(priorEffects)
	for c := range pull {
		s, m := f.tides.smooth(c, pull[c], info[c])
		sum += s
		n += m
	}
	f.tide2 = sum / n
}

// smooth sets a country's levels, and gives the sum of their expected squares
// over the steps with reports, and how many these are.
func (t *tides) smooth(country int, pull, info []float64) (sum, n float64) {
	level := t.height[country]
	p := process{cell2: t.tide2, noise2: 1, memory: tideMemory}
	var sights []sight
	var rest []float64
	var steps []int
	for s := len(level) - 1; s >= 0; s-- { // oldest first
		if info[s] > 0 {
			sights = append(sights, sight{day: -int32(s * tideStep), spread: 1 / info[s], weight: 1})
			rest = append(rest, level[s]+pull[s]/info[s])
			steps = append(steps, s)
		}
	}
	t.now[country] = t.tide2
	out := make([]smoothed, len(sights))
	p.smooth(sights, rest, out)
	for k, s := range steps {
		level[s] = out[k].mean
		sum += out[k].mean*out[k].mean + out[k].variance
		n++
	}
	if k := len(steps) - 1; k >= 0 {
		fade := p.fade(float64(steps[k] * tideStep))
		t.now[country] = t.tide2 - fade*fade*(t.tide2-out[k].variance)
		for s := range steps[k] { // steps since, of which nothing is heard
			level[s] = out[k].mean * p.fade(float64((steps[k]-s)*tideStep))
		}
	}
	return sum, n
}
