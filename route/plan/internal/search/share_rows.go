package search

import "hardtack/route/plan/internal/simplex"

// sharing sets the program up: rows for use, for what the packs hold, for
// reserves and for rooms of which the need might take more than a load leaves, if
// there is one. Of sources of which nothing is bought there is no row, unless all
// may be later.
func newSharing(m *Model, n *Need, p *Prices, l *Load, packs []int, all bool) *sharing {
	f := &sharing{m: m, n: n, prices: p, columns: make([][2][]int, len(n.Sources))}
	var costs, rhs []float64
	add := func(cost, limit float64) int {
		costs, rhs = append(costs, cost), append(rhs, limit)
		return len(costs) - 1
	}
	for _, g := range n.Segments {
		add(n.Miss, g.Amount)
	}
	for i := range n.Sources {
		at := -1
		if supply := n.supply(i, packs); supply > 0 || all {
			at = add(0, supply)
		}
		f.row = append(f.row, at)
	}
	for _, due := range n.Due {
		at := -1
		if n.ReserveMiss > 0 && due > Slack {
			at = add(n.ReserveMiss, due)
		}
		f.due = append(f.due, at)
	}
	f.rooms(l, add)
	f.lp = simplex.New(costs, rhs)
	for _, at := range f.due {
		if at >= 0 {
			f.lp.Add(0, []simplex.Entry{{Row: at, Value: -1}}) // more is held than is due
		}
	}
	f.first = f.lp.Columns()
	return f
}

// rooms adds rows for the cells of which the need might take more than is free.
func (f *sharing) rooms(l *Load, add func(cost, limit float64) int) {
	most := f.n.lay.most()
	for r := range f.m.Room {
		cells := make([]int, f.m.Legs())
		for q := range cells {
			cells[q] = -1
			if l != nil && most[r][q] > l.free[r][q] {
				cells[q] = add(0, max(0, l.free[r][q]))
			}
		}
		f.cells = append(f.cells, cells)
	}
}

// open lets every source of which there are packs, or anything aboard, be eaten
// from, and where it is carried away be held.
func (f *sharing) open(packs []int, carried []bool) {
	for i := range f.n.Sources {
		f.let(i, f.n.supply(i, packs) > 0, carried[i] || f.n.Sources[i].Aboard >= 0)
	}
}

// let says whether anything of a source may be eaten in port, and whether it may be
// carried away; true where that is more than before.
func (f *sharing) let(i int, eaten, carried bool) (more bool) {
	for kind, may := range [2]bool{eaten, eaten && carried} {
		if may && f.columns[i][kind] == nil {
			from := f.lp.Columns()
			if kind == 0 {
				f.inPort(i)
			} else {
				f.away(i)
			}
			f.columns[i][kind] = []int{}
			for c := from; c < f.lp.Columns(); c++ {
				f.columns[i][kind] = append(f.columns[i][kind], c)
			}
			more = true
			continue
		}
		for _, c := range f.columns[i][kind] {
			if f.lp.RuledOut(c) == may {
				f.lp.Rule(c, !may)
				more = more || may
			}
		}
	}
	return more
}

// inPort adds what a source may serve in the stay where it is bought.
func (f *sharing) inPort(i int) {
	source, x := &f.n.Sources[i], &f.n.lay.spans[i]
	for g := x.from; g < x.stay; g++ {
		f.column(Flow{Source: i, Way: -1, Segment: int(g), To: -1}, source.Taste)
	}
}

// away adds all that may become of what is carried away from a source.
func (f *sharing) away(i int) {
	source, x := &f.n.Sources[i], &f.n.lay.spans[i]
	for g := int(x.stay); g < int(x.till); g++ {
		to := int(f.n.lay.to[g])
		for w, way := range source.Ways {
			if g < int(x.ways[w]) {
				f.column(Flow{Source: i, Way: w, Segment: g, To: to}, source.Taste+f.prices.hold(source, way, to))
			}
		}
	}
	for leg, at := range f.due {
		if at < 0 || leg < source.Stop || source.Last < 2*leg+1 {
			continue
		}
		for w, way := range source.Ways {
			if x.counts[w][leg] > 0 {
				f.column(Flow{Source: i, Way: w, Segment: -1, To: leg}, f.prices.hold(source, way, leg))
			}
		}
	}
}

// column adds a flow at a cost.
func (f *sharing) column(flow Flow, cost float64) {
	f.entries = append(f.entries[:0], simplex.Entry{Row: f.row[flow.Source], Value: 1})
	if flow.Segment >= 0 {
		f.entries = append(f.entries, simplex.Entry{Row: flow.Segment, Value: 1})
	}
	if flow.Way >= 0 {
		f.held(flow)
	}
	f.lp.Add(cost, f.entries)
	f.flows = append(f.flows, flow)
}

// held adds what a flow takes up and what it counts for.
func (f *sharing) held(flow Flow) {
	source := &f.n.Sources[flow.Source]
	way, counts := source.Ways[flow.Way], f.n.lay.spans[flow.Source].counts[flow.Way]
	for leg := source.Stop; leg <= flow.until(f.n); leg++ {
		if f.due[leg] >= 0 && counts[leg] > 0 {
			f.entries = append(f.entries, simplex.Entry{Row: f.due[leg], Value: 1})
		}
	}
	for q := source.Stop; q <= flow.To; q++ {
		if row := f.cells[way.Room][q]; row >= 0 {
			f.entries = append(f.entries, simplex.Entry{Row: row, Value: way.Litres})
		}
		if row := f.cells[len(f.cells)-1][q]; row >= 0 {
			f.entries = append(f.entries, simplex.Entry{Row: row, Value: source.Kg})
		}
	}
}
