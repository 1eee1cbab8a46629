package estimate

import (
	"cmp"
	"math"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// Model is what is believed after a fit. It never changes and may be used by
// many at once.
type Model struct {
	fit    *fit
	supply *supply
	larder larder
	start  []int // of each port's cells
	widen  widening
}

// Fit learns from the reports that stand on in.Day. Reports of unknown ports
// or items, or in currencies without a rate, are left out, see Skipped. The
// result depends on nothing but in, and not on the order of anything in it.
func Fit(in Input) *Model {
	ix, widen, fault := newIndex(&in), plain, make(chan any, 1)
	go func() { // takes as long as the fit itself, and shares nothing that changes
		defer func() { fault <- recover() }()
		widen = calibrate(ix, &in)
	}()
	m := fitted(ix.learn(&in))
	if f := <-fault; f != nil {
		panic(f)
	}
	m.widen = widen
	return m
}

func fitted(f *fit) *Model {
	m := &Model{fit: f, supply: newSupply(f.index), larder: newLarder(f.index), start: make([]int, f.ports+1), widen: plain}
	for _, k := range f.sorted {
		r := &f.standing[k]
		m.supply.count(r)
		if f.in.Day-r.Day <= qualityDays {
			m.larder.count(f.portAt[r.Port], f.itemAt[r.Item], r)
		}
	}
	for k := range f.cells {
		m.start[f.cells[k].port+1] = k + 1
	}
	for p := 1; p <= f.ports; p++ {
		m.start[p] = max(m.start[p], m.start[p-1])
	}
	return m
}

// Questioned are the reports held back as probable slips, by id.
func (m *Model) Questioned() []Questioned {
	return slices.SortedFunc(slices.Values(m.fit.questioned), func(a, b Questioned) int { return cmp.Compare(a.Report, b.Report) })
}

// Skipped is how many standing reports name a port, item or currency that is
// not known.
func (m *Model) Skipped() int { return m.fit.skipped }

// Learned is how many standing price reports and words the model rests on.
func (m *Model) Learned() int { return len(m.fit.sights) }

// Day is the day believed about.
func (m *Model) Day() calendar.Day { return m.fit.in.Day }

// Table is what is believed of every port and item named, on a day.
func (m *Model) Table(ports []pricing.PortID, items []pricing.ItemID, day calendar.Day) *pricing.Table {
	t := pricing.NewTable(m.fit.in.Rates.Reference(), day)
	for _, p := range ports {
		for _, i := range items {
			t.Set(p, i, m.At(p, i, day))
		}
	}
	return t
}

func (m *Model) cell(port, item int32) *cell {
	if port < 0 || item < 0 {
		return nil
	}
	own := m.fit.cells[m.start[port]:m.start[port+1]]
	k, ok := slices.BinarySearchFunc(own, item, func(c cell, i int32) int { return int(c.item - i) })
	if !ok {
		return nil
	}
	return &own[k]
}

// outlook is the belief of one pair on the log scale.
type outlook struct {
	mean     float64
	variance float64 // of the price level
	cell     *cell
	gain     float64 // share of the cell's own reports in the figure, 0–1
	evidence float64
	item     int32
	port     int32
}

func (m *Model) look(port pricing.PortID, item pricing.ItemID, day calendar.Day) outlook {
	f := m.fit
	o := outlook{item: -1, port: -1}
	if i, ok := f.itemAt[item]; ok {
		o.item = i
	}
	if p, ok := f.portAt[port]; ok {
		o.port = p
	}
	ahead := float64(day - f.in.Day)
	level, v := m.expected(&o, ahead)
	o.mean, o.variance = level, v+f.cell2
	if o.cell = m.cell(o.port, o.item); o.cell != nil {
		m.own(&o, level, v, ahead)
	}
	return o
}

// expected is the level without the cell's own deviation, and its variance.
func (m *Model) expected(o *outlook, days float64) (level, variance float64) {
	f := m.fit
	if o.item >= 0 && o.port >= 0 {
		sum, _ := f.terms(f.theta, o.port, o.item)
		moves, v := f.moving(o.port, o.item, days)
		sum += f.season(o.port, o.item, f.in.Day+calendar.Day(math.Round(days))) + moves
		return f.offset(o.port, o.item) + sum, f.doubt.level(o.port, o.item) + v
	}
	level, variance = f.theta[f.mean], f.doubt.all
	if o.item >= 0 {
		level += f.expected[o.item] + f.theta[f.item+int(o.item)] - f.theta[f.mean]
		variance += f.doubt.item[o.item]
	} else {
		variance += startCategory*startCategory + f.item2
	}
	return level, variance + f.country2 + f.port2 + f.twist2 + f.product2
}

// own adds what the cell's own reports say. Days before the one believed
// about are answered as that many days after it: a model looks forward.
func (m *Model) own(o *outlook, level, v, ahead float64) {
	f, b := m.fit, o.cell.belief
	base, pack := f.terms(f.theta, o.port, o.item)
	fade := f.of(o.item).fade(ahead)
	o.gain = b.u * fade
	variance := f.cell2 - fade*fade*(f.cell2-b.variance)
	o.mean = level + fade*b.mean(base, pack)
	o.variance = variance + (1-o.gain)*(1-o.gain)*v
	o.evidence = f.noise2 / f.cell2 * (f.cell2/variance - 1)
}

// z80 bounds the middle four fifths of a normal distribution; tNoise is the
// variance of the normal with the same fifths as Student's t with 4 degrees
// of freedom: (1.5332 / 1.2816)².
const (
	z80    = 1.2815515655446004
	tNoise = 1.4313
)

// At is what is believed of an item at a port on a day, the model's or later.
// It has an answer for every pair; unknown ids are answered as somewhere and
// something.
func (m *Model) At(port pricing.PortID, item pricing.ItemID, day calendar.Day) pricing.Estimate {
	o := m.look(port, item, day)
	sd := m.receiptSD(&o)
	e := pricing.Estimate{
		Price: math.Exp(o.mean), Low80: math.Exp(o.mean - z80*sd), High80: math.Exp(o.mean + z80*sd), LogSD: sd,
		Available: m.supply.at(o.port, o.item, max(0, float64(day-m.fit.in.Day))),
		Evidence:  o.evidence, Basis: m.basis(&o),
	}
	if o.cell != nil {
		e.Newest = o.cell.newest
	}
	if o.item >= 0 {
		e.Goods = m.larder.goods(o.port, o.item)
	}
	return e
}

// receiptSD is the sd of the log of one receipt, calibrated.
func (m *Model) receiptSD(o *outlook) float64 {
	return m.widen.of(m.stratum(o)) * math.Sqrt(o.variance+tNoise*m.fit.noise2+m.fit.shop2)
}

// basis is what the figure mainly rests on.
func (m *Model) basis(o *outlook) pricing.Basis { return m.basisOf(o, &m.fit.doubt) }

func (m *Model) basisOf(o *outlook, d *doubt) pricing.Basis {
	switch {
	case o.gain >= 0.5:
		return pricing.BasisCell
	case o.item < 0 || d.itemInfo[o.item] == 0:
		return pricing.BasisGuess
	case o.port >= 0 && d.portInfo[o.port] > 0:
		return pricing.BasisPort
	case o.port >= 0 && d.countryInfo[m.fit.countryOf[o.port]] > 0:
		return pricing.BasisCountry
	}
	return pricing.BasisAll
}
