package estimate

import (
	"math"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
)

// cell is one port and item with reports: sights[from:to].
type cell struct {
	port, item int32
	from, to   int
	newest     calendar.Day // of its price reports
	belief     belief
}

// fit is a model being learned.
type fit struct {
	*index
	system
	process
	scales
	crowd
	shops
	seasons
	movements
	neighbours
	cells      []cell
	sights     []sight
	sorted     []int32 // standing reports of known ports and items, by cell
	theta      []float64
	reporterAt map[string]int32
	doubt      doubt // variances of the effects given the reports

	questioned []Questioned
	moneys     [][]money.Currency // that may be mixed up, by country

	standing []pricing.Report
	skipped  int
	rest     []float64
	smooth0  []smoothed
}

// rounds of reweighting. Every round solves all effects together; weights and
// variances settle within a few.
const rounds = 6

// How far the equations are solved: the rounds before the last only feed the
// next one's weights.
const (
	roughly = 1e-6
	exactly = 1e-9
)

// learn fits the model to the reports standing on the day.
func learn(in *Input) *fit { return newIndex(in).learn(in) }

// learn fits to reports about the ports and items of the index.
func (ix index) learn(in *Input) *fit {
	ix.in = in
	f := &fit{index: &ix}
	f.process = process{startCell * startCell, startNoise * startNoise, startMemory}
	f.system.layout = newLayout(f.index.roster)
	f.scales = startScales(f.informed)
	f.theta = make([]float64, f.size)
	f.standing = pricing.Standing(in.Reports, in.Day)
	f.gather(f.standing)
	f.rest, f.smooth0 = make([]float64, len(f.sights)), make([]smoothed, len(f.sights))
	f.seasons = newSeasons(f.categories)
	f.newMovements()
	f.findMoneys()
	f.firstWeights()
	for round := range rounds {
		f.update(roughly)
		f.examine()
		f.reporters()
		f.outlets()
		f.reweigh()
		f.question(round)
		if round >= 2 { // who lies is known by now
			f.jumps()
			f.learnShock()
			f.learnSeasons()
			f.learnMovements()
		}
		f.variances()
		if round > 0 {
			f.chart()
		}
	}
	f.update(exactly)
	return f
}

// update reduces all cells and solves for the effects.
func (f *fit) update(tolerance float64) {
	f.remarks()
	f.adjust()
	if len(f.system.cells) != len(f.cells) {
		f.system.cells = make([]stat, len(f.cells))
	}
	for k := range f.cells {
		c := &f.cells[k]
		f.system.cells[k], c.belief = f.of(c.item).reduce(f.sights[c.from:c.to], int32(f.in.Day))
		f.system.cells[k].port, f.system.cells[k].item = c.port, c.item
	}
	f.prior = f.believe()
	f.system.neighbours = f.joint
	f.solve(f.theta, tolerance)
	f.doubt = f.doubts()
}

// remarks gives words their worth under the present variances.
func (f *fit) remarks() {
	type worth struct{ y, variance float64 }
	words := map[pricing.Found]worth{}
	for _, w := range []pricing.Found{pricing.Cheap, pricing.Fair, pricing.Dear} {
		y, v := f.remarked(w)
		words[w] = worth{y, v}
	}
	for k := range f.sights {
		if o := &f.sights[k]; o.remark {
			w := words[f.standing[o.source].Found]
			o.y, o.spread = w.y, w.variance/f.cell2
		}
	}
}

// examine finds every report's residual against all but itself.
func (f *fit) examine() {
	for k := range f.cells {
		c := &f.cells[k]
		level, pack := f.terms(f.theta, c.port, c.item)
		own, rest, out := f.sights[c.from:c.to], f.rest[c.from:c.to], f.smooth0[c.from:c.to]
		for j := range own {
			o := &own[j]
			rest[j] = o.y
			if !o.remark {
				rest[j] -= o.known + level + pack*o.x
			}
		}
		f.of(c.item).smooth(own, rest, out)
		v := f.doubt.level(c.port, c.item)
		for j := range own {
			f.leaveOut(&own[j], rest[j], out[j], v)
		}
	}
}

// leaveOut takes a report out of the cell's deviation exactly, and out of the
// effects by its leverage on their sum.
func (f *fit) leaveOut(o *sight, rest float64, s smoothed, v float64) {
	alone := s.leave(rest, f.noise(o))
	o.without = alone.variance
	share := min(alone.variance/f.cell2, 1) // of the level in what is left
	leverage := 0.0
	if !o.held {
		leverage = min(v*share/(alone.variance+f.noise(o)), 0.95)
	}
	o.off = (rest - alone.mean) / (1 - leverage)
	o.offSD2 = alone.variance + share*share*v/(1-leverage) + f.noise2
}

// firstWeights tames gross errors before anything is solved: Student weights
// about the middle of each item.
func (f *fit) firstWeights() {
	byItem := make([][]float64, f.items)
	for k := range f.sights {
		if o := &f.sights[k]; !o.remark && !o.again {
			i := f.cells[o.cell].item
			byItem[i] = append(byItem[i], o.y)
		}
	}
	var off []float64
	centre := make([]float64, f.items)
	for i, ys := range byItem {
		centre[i], _ = huber(ys)
		for _, y := range ys {
			off = append(off, math.Abs(y-centre[i]))
		}
	}
	scale := madToSigma*median(off) + 0.1
	for k := range f.sights {
		if o := &f.sights[k]; !o.remark {
			e := (o.y - centre[f.cells[o.cell].item]) / scale
			o.weight = max(studentWeight(e*e)*f.crowd.weight(o.reporter), leastWeight)
		}
	}
}
