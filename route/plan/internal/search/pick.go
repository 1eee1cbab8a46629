package search

import (
	"math"
	"slices"

	"hardtack/route/plan/internal/simplex"
)

// picker picks for each of some needs the packs of one schedule in a pool, and
// whole trips, so that together they cost least where all others leave room.
// What is stowed and eaten of the packs stays a mix of schedules that buy the
// same. Where the mix does something by halves the picker goes down the
// likelier half first, and gives up what cannot come below the best.
type picker struct {
	*master
	work    *Work
	choices [][]packing // per need; the first is to do nothing
	out     []bool      // per column, whether the fork at hand rules it out
	open    []*fork
	below   float64     // the cost to come below
	best    []*Schedule // per need, nil before anything is below
	spare   []*simplex.State
}

// packing is a choice of packs for a need, with the columns that buy them.
type packing struct {
	packs   []int
	columns []int
}

// fork is a choice made, or ruled out, after those of the fork it comes from.
type fork struct {
	from  *fork
	at    int // need of the picker, or beyond them a stop; -1 at the start
	which int // choice of the need; of a stop, the most trips of the lower half
	upper bool
	bound float64
	state *simplex.State // of the mix before it
}

// newPicker takes schedules that may be picked for each need and the cost
// they are to come below.
func newPicker(m *Model, needs []int, load *Load, pool [][]mixed, below float64, work *Work) *picker {
	p := &picker{master: &master{m: m, needs: needs, load: load, pool: pool}, work: work, below: below}
	p.low, p.high, p.tied = make([]float64, m.Stops), make([]float64, m.Stops), make([]bool, m.Stops)
	for stop := range p.high {
		p.high[stop] = math.Inf(1)
	}
	p.chosen = make([]*Schedule, len(needs))
	p.build()
	for k := range pool {
		p.choices = append(p.choices, p.choose(k))
	}
	p.out = make([]bool, p.lp.Columns())
	return p
}

// choose lists the choices of a need, each with a column that buys and throws
// all away, so that the mix always has a solution.
func (p *picker) choose(k int) []packing {
	n := p.m.Needs[p.needs[k]]
	list := []packing{{newSchedule(p.m, n).Packs, []int{k}}}
next:
	for _, c := range p.pool[k] {
		for g := range list {
			if slices.Equal(list[g].packs, c.schedule.Packs) {
				list[g].columns = append(list[g].columns, c.column)
				continue next
			}
		}
		unused := p.lp.Add(n.nothing()+n.spent(c.schedule.Packs), []simplex.Entry{{Row: k, Value: 1}})
		list = append(list, packing{c.schedule.Packs, []int{unused, c.column}})
	}
	return list
}

// spent is what packs cost beyond those that must be bought.
func (n *Need) spent(packs []int) float64 {
	spent := 0.0
	for o, count := range packs {
		spent += float64(count-n.Offers[o].Min) * n.Offers[o].Price
	}
	return spent
}

// run picks until so many forks were looked at, and says whether anything was
// found.
func (p *picker) run(forks int) bool {
	p.gain(mostMixed, p.work)
	f := &fork{at: -1, bound: p.lp.Cost()}
	for ; forks > 0 && !p.work.over(); forks-- {
		if f = p.explore(f); f == nil {
			if f = p.next(); f == nil {
				break
			}
		}
	}
	return p.best != nil
}

// next goes back to the last fork that may hold anything better.
func (p *picker) next() *fork {
	for last := len(p.open) - 1; last >= 0; last-- {
		f := p.open[last]
		p.open = p.open[:last]
		p.spare = append(p.spare, f.state)
		if f.bound < p.enough() {
			p.lp.Load(f.state)
			return f
		}
	}
	return nil
}

// enough is a cost that is not worth looking for.
func (p *picker) enough() float64 { return p.below - 1e-6*math.Abs(p.below) }

// explore mixes what a fork leaves and returns one of the two it leads to, nil
// where it ends.
func (p *picker) explore(f *fork) *fork {
	if !p.enter(f) {
		return nil
	}
	next, ok := p.halve()
	if !ok {
		p.keep()
		return nil
	}
	next.from, next.bound = f, p.lp.Cost()
	other := next
	other.upper = !next.upper
	other.state = p.save()
	p.open = append(p.open, &other)
	return &next
}

func (p *picker) save() *simplex.State {
	s := &simplex.State{}
	if last := len(p.spare) - 1; last >= 0 {
		s, p.spare = p.spare[last], p.spare[:last]
	}
	p.lp.Save(s)
	return s
}
