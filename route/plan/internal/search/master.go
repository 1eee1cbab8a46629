package search

import (
	"math"
	"slices"

	"hardtack/route/plan/internal/simplex"
)

// master mixes whole schedules of some needs so that together they fit where
// all others leave room: its rows are one per need, one per cell with a
// limit, and per stop one for what its trips carry and some for that there is
// a trip at all. Its duals are the prices.
type master struct {
	m      *Model
	needs  []int
	load   *Load
	lp     *simplex.LP
	rows   int
	cells  [][]int // row per room and departure, -1 without a limit
	carry  []int   // row per stop, -1 without a limit
	link   [][]int // row per need and stop: no purchases carried away without a trip; -1 where left out
	trips  []int   // column of the trips per stop beyond low, -1 without one
	low    []float64
	high   []float64 // trips per stop, beyond those of the load, between which the mix may choose
	pool   [][]mixed
	chosen []*Schedule // per need, one with the packs settled on
}

// mixed is a schedule as a column; its need's own column, nothing done, has
// the number of the need's row.
type mixed struct {
	schedule *Schedule
	column   int
	cost     float64
}

// mostLinks is how many link rows a master has at most.
const mostLinks = 130

func newMaster(m *Model, needs []int, load *Load) *master {
	ma := &master{m: m, needs: needs, load: load, pool: make([][]mixed, len(needs)), chosen: make([]*Schedule, len(needs)),
		low: make([]float64, m.Stops), high: make([]float64, m.Stops)}
	for stop := range ma.high {
		ma.high[stop] = math.Inf(1)
	}
	ma.build()
	return ma
}

// build sets up the rows and puts the pool into them.
func (ma *master) build() {
	m := ma.m
	var costs, rhs []float64
	row := func(cost, limit float64) int {
		costs, rhs = append(costs, cost), append(rhs, max(limit, 0))
		return len(costs) - 1
	}
	for _, i := range ma.needs {
		row(m.Needs[i].nothing(), 1)
	}
	ma.cells = nil
	for r, room := range m.Room {
		cells := make([]int, m.Legs())
		for q := range cells {
			if cells[q] = -1; !math.IsInf(room, 1) {
				cells[q] = row(0, ma.load.free[r][q]+1e-9*room*float64(q%7))
			}
		}
		ma.cells = append(ma.cells, cells)
	}
	bounds := ma.tripRows(row)
	ma.rows = len(costs)
	ma.lp = simplex.New(costs, rhs)
	ma.tripColumns(bounds)
	for k, pool := range ma.pool {
		for c := range pool {
			cost := pool[c].cost
			if ma.shut(pool[c].schedule) {
				cost += 4 * m.Needs[ma.needs[k]].nothing()
			}
			pool[c].column = ma.lp.Add(cost, ma.entries(k, pool[c].schedule))
		}
		if ma.chosen[k] != nil {
			ma.settle(k, ma.chosen[k])
		}
	}
}

// shut says whether a schedule carries something away where no trip may be
// made.
func (ma *master) shut(s *Schedule) bool {
	for stop, away := range s.Away {
		if away && ma.high[stop] == 0 && ma.load.away[stop] == 0 {
			return true
		}
	}
	return false
}

// tripRows adds the rows that trips have a part in, and returns those that
// hold them below high.
func (ma *master) tripRows(row func(cost, limit float64) int) (bounds []int) {
	ma.carry, ma.link = nil, make([][]int, len(ma.needs))
	links := ma.linked()
	for stop, carry := range ma.m.Carry {
		ma.carry, bounds = append(ma.carry, -1), append(bounds, -1)
		if ma.m.TripCost[stop] > 0 && !math.IsInf(carry, 1) {
			paid := ma.m.trips(stop, ma.load.kg[stop], ma.load.away[stop] > 0)*carry - ma.load.kg[stop]
			ma.carry[stop] = row(0, paid+ma.low[stop]*carry)
		}
		for k := range ma.needs {
			ma.link[k] = append(ma.link[k], -1)
			if links[stop] {
				ma.link[k][stop] = row(0, 0)
			}
		}
		if ma.high[stop] > ma.low[stop] && !math.IsInf(ma.high[stop], 1) {
			bounds[stop] = row(0, ma.high[stop]-ma.low[stop])
		}
	}
	return bounds
}

// linked says which stops have link rows: where no trip is made yet, those
// without a limit on what it carries first.
func (ma *master) linked() []bool {
	links, count := make([]bool, ma.m.Stops), 0
	for _, limited := range []bool{false, true} {
		for stop, carry := range ma.m.Carry {
			if limited == math.IsInf(carry, 1) || ma.m.TripCost[stop] == 0 || ma.load.away[stop] > 0 || ma.low[stop] > 0 ||
				ma.high[stop] == 0 || stop == ma.m.Legs() || count+len(ma.needs) > mostLinks {
				continue
			}
			links[stop] = true
			count += len(ma.needs)
		}
	}
	return links
}

func (ma *master) tripColumns(bounds []int) {
	ma.trips = nil
	for stop := range ma.m.Carry {
		var entries []simplex.Entry
		if ma.carry[stop] >= 0 {
			entries = append(entries, simplex.Entry{Row: ma.carry[stop], Value: -ma.m.Carry[stop]})
		}
		for k := range ma.needs {
			if r := ma.link[k][stop]; r >= 0 {
				entries = append(entries, simplex.Entry{Row: r, Value: -1})
			}
		}
		if bounds[stop] >= 0 {
			entries = append(entries, simplex.Entry{Row: bounds[stop], Value: 1})
		}
		ma.trips = append(ma.trips, -1)
		if len(entries) > 0 && ma.high[stop] > ma.low[stop] {
			ma.trips[stop] = ma.lp.Add(ma.m.TripCost[stop], entries)
		}
	}
}

// nothing is what a need costs when nothing is done about it.
func (n *Need) nothing() float64 {
	cost := 0.0
	for _, g := range n.Segments {
		cost += g.Amount * n.Miss
	}
	for _, due := range n.Due {
		cost += due * n.ReserveMiss
	}
	for _, o := range n.Offers {
		cost += float64(o.Min) * o.Price
	}
	return cost
}

// add offers a schedule of the k-th need to the mix and returns what a unit
// of it would gain.
func (ma *master) add(k int, s *Schedule, cost float64) float64 {
	c := ma.lp.Add(cost, ma.entries(k, s))
	ma.pool[k] = append(ma.pool[k], mixed{s, c, cost})
	return max(0, -ma.lp.Reduced(c))
}

// promise is what a unit of a schedule would gain.
func (ma *master) promise(k int, s *Schedule, cost float64) float64 {
	for _, e := range ma.entries(k, s) {
		cost -= ma.lp.Dual(e.Row) * e.Value
	}
	return max(0, -cost)
}

// entries is what a schedule takes of every row.
func (ma *master) entries(k int, s *Schedule) []simplex.Entry {
	n := ma.m.Needs[ma.needs[k]]
	use := make([]float64, ma.rows)
	take := func(row int, amount float64) {
		if row >= 0 {
			use[row] += amount
		}
	}
	for _, f := range s.Flows {
		if f.Way < 0 {
			continue
		}
		source := &n.Sources[f.Source]
		w := source.Ways[f.Way]
		for q := source.Stop; q <= f.To; q++ {
			take(ma.cells[w.Room][q], f.Amount*w.Litres)
			take(ma.cells[ma.m.Payload()][q], f.Amount*source.Kg)
		}
	}
	for stop, kg := range s.Kg {
		take(ma.carry[stop], kg)
		if s.Away[stop] {
			take(ma.link[k][stop], 1)
		}
	}
	use[k] = 1
	var entries []simplex.Entry
	for row, v := range use {
		if v > 0 {
			entries = append(entries, simplex.Entry{Row: row, Value: v})
		}
	}
	return entries
}

// prices reads the duals of cells and trips.
func (ma *master) prices(p *Prices) {
	for r, cells := range ma.cells {
		for q, row := range cells {
			p.Cell[r][q] = 0
			if row >= 0 {
				p.Cell[r][q] = max(0, -ma.lp.Dual(row))
			}
		}
	}
	for stop, row := range ma.carry {
		p.Kg[stop] = 0
		if row >= 0 {
			p.Kg[stop] = max(0, -ma.lp.Dual(row))
		}
		for k, i := range ma.needs {
			p.Open[i][stop] = 0
			if r := ma.link[k][stop]; r >= 0 {
				p.Open[i][stop] = max(0, -ma.lp.Dual(r))
			}
		}
	}
}

// tripsAt is how many trips the mix makes at a stop.
func (ma *master) tripsAt(stop int) float64 {
	if c := ma.trips[stop]; c >= 0 {
		return ma.low[stop] + ma.lp.Value(c)
	}
	return ma.low[stop]
}

// carries is the part of the k-th need that a stop's carried purchases serve in
// the mix: how much of its schedules carry anything away there.
func (ma *master) carries(k, stop int) float64 {
	share := 0.0
	for _, c := range ma.pool[k] {
		if c.schedule.Away[stop] {
			share += ma.lp.Value(c.column)
		}
	}
	return share
}

// likely is the schedule with the largest share in the mix, schedules of the
// same packs counted together, and that share.
func (ma *master) likely(k int) (*Schedule, float64) {
	var best *Schedule
	share := 0.0
	for i, c := range ma.pool[k] {
		if ma.lp.Value(c.column) <= 0 {
			continue
		}
		sum := 0.0
		for _, d := range ma.pool[k][i:] {
			if c.schedule.samePacks(d.schedule) {
				sum += ma.lp.Value(d.column)
			}
		}
		if sum > share {
			best, share = c.schedule, sum
		}
	}
	return best, share
}

func (s *Schedule) samePacks(t *Schedule) bool { return slices.Equal(s.Packs, t.Packs) }

// settle leaves the k-th need only the packs of one schedule. Throwing all of
// them away remains, so that the mix always has a solution.
func (ma *master) settle(k int, s *Schedule) {
	ma.chosen[k] = s
	n := ma.m.Needs[ma.needs[k]]
	waste := n.nothing()
	for o, packs := range s.Packs {
		waste += float64(packs-n.Offers[o].Min) * n.Offers[o].Price
	}
	var others []int
	for _, c := range ma.pool[k] {
		if !c.schedule.samePacks(s) {
			others = append(others, c.column)
		}
	}
	ma.lp.Reprice(4*waste+1, others...)
	ma.lp.Reprice(waste, k)
}

// blended is the k-th need's share of the mix as one schedule: a plan when
// all its packs are the same, which they are once it is settled.
func (ma *master) blended(k int) *Schedule {
	n := ma.m.Needs[ma.needs[k]]
	s := newSchedule(ma.m, n)
	if ma.chosen[k] != nil {
		copy(s.Packs, ma.chosen[k].Packs)
	}
	at := map[Flow]int{}
	total := 0.0
	for _, c := range ma.pool[k] {
		total += ma.lp.Value(c.column)
	}
	for _, c := range ma.pool[k] {
		share := ma.lp.Value(c.column) / max(total, 1) // rounding may leave more than a whole
		if share <= 1e-9 || ma.chosen[k] != nil && !c.schedule.samePacks(ma.chosen[k]) {
			continue
		}
		s.Mode = c.schedule.Mode
		copy(s.Stay, c.schedule.Stay)
		for _, f := range c.schedule.Flows {
			key := f
			key.Amount = 0
			if _, ok := at[key]; !ok {
				at[key] = len(s.Flows)
				s.Flows = append(s.Flows, key)
			}
			s.Flows[at[key]].Amount += share * f.Amount
		}
	}
	return s
}
