package search

import (
	"math"

	"hardtack/route/plan/internal/simplex"
)

// master mixes whole schedules of some needs so that together they fit where
// all others leave room: its rows are one per need, one per cell with a
// limit, and per stop one for what its trips carry and some for that there is
// a trip at all. Its duals are the prices.
type master struct {
	m       *Model
	needs   []int
	load    *Load
	lp      *simplex.LP
	unmixed bool // never mixed since it was built
	charged int  // of what the LP has touched, counted as work
	rows    int
	cells   [][]int // row per room and departure, -1 without a limit
	carry   []int   // row per stop, -1 without a limit
	link    [][]int // row per need and stop: no purchases carried away without a trip; -1 where left out
	low     []float64
	high    []float64 // trips per stop, beyond those of the load, between which the mix may choose
	tied    []bool    // per stop: has rows for that there is a trip at all in spite of a limit
	pool    [][]mixed
	none    []int       // row per stop: one of its options, else no trip; -1 without
	options [][]int     // columns per stop of 1, 2 … trips beyond low
	chosen  []*Schedule // per need, one with the packs settled on
}

// mixed is a schedule as a column; its need's own column, nothing done, has
// the number of the need's row.
type mixed struct {
	schedule *Schedule
	column   int
	used     bool    // when last looked at
	over     float64 // what it cost beyond the prices then
}

func newMaster(m *Model, needs []int, load *Load) *master {
	ma := &master{m: m, needs: needs, load: load, pool: make([][]mixed, len(needs)), chosen: make([]*Schedule, len(needs)),
		low: make([]float64, m.Stops), high: make([]float64, m.Stops), tied: make([]bool, m.Stops)}
	for stop := range ma.high {
		ma.high[stop] = math.Inf(1)
	}
	ma.build()
	return ma
}

// look notes which schedules the mix uses.
func (ma *master) look() {
	for _, pool := range ma.pool {
		for c := range pool {
			pool[c].used = ma.lp.Value(pool[c].column) > 0
			pool[c].over = ma.lp.Reduced(pool[c].column)
		}
	}
}

// build sets up the rows and puts the pool into them. The next mix starts with
// the schedules last used.
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
				cells[q] = row(0, ma.load.free[r][q]-1e-9*room*float64(1+q%7))
			}
		}
		ma.cells = append(ma.cells, cells)
	}
	ma.tripRows(row)
	ma.rows = len(costs)
	ma.lp, ma.unmixed, ma.charged = simplex.New(costs, rhs), true, 0
	ma.tripColumns()
	var used []int
	for k, pool := range ma.pool {
		for c := range pool {
			pool[c].column = ma.lp.Add(pool[c].schedule.Own(), ma.entries(k, pool[c].schedule))
			if pool[c].used {
				used = append(used, pool[c].column)
			}
		}
		if ma.chosen[k] != nil {
			ma.settle(k, ma.chosen[k])
		}
	}
	for _, options := range ma.options {
		used = append(used, options...)
	}
	ma.lp.Prefer(used)
}

// gain brings columns in until nothing is gained, with at most so many pivots.
func (ma *master) gain(pivots int, w *Work) {
	for left := pivots; left > 0 && !w.cancelled(); left -= fewPivots {
		done := ma.lp.Solve(min(left, fewPivots))
		ma.charge(w)
		if done < fewPivots {
			return
		}
	}
}

// fewPivots are done between two looks at the context.
const fewPivots = 100

// perSchedule is how many numbers touched by mixing count as one schedule
// allocated.
const perSchedule = 10_000

// charge counts the work of mixing in schedules allocated.
func (ma *master) charge(w *Work) {
	done := (ma.lp.Touched() - ma.charged) / perSchedule
	w.Left -= done
	ma.charged += done * perSchedule
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
func (ma *master) add(k int, s *Schedule) float64 {
	c := ma.lp.Add(s.Own(), ma.entries(k, s))
	over := ma.lp.Reduced(c)
	ma.pool[k] = append(ma.pool[k], mixed{schedule: s, column: c, over: over})
	return max(0, -over)
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
