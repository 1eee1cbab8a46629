package plan

import (
	"fmt"
	"math"
)

// The exported model is the contract's section 2 as a mixed-integer linear
// program; its optimum is the least total any plan can have. Columns are
// named by place in the brief (i counts the items over all needs, k the
// item's keeps, o its offers), and the head of the file lists the ids:
//
//	buy_i2_s0_o1      packs bought of an offer, whole
//	port_i2_s0        item-units eaten in the stay of purchase
//	held_i2_s0_k1_d3  item-units of a lot aboard right after departure 3
//	draw_i2_s0_k1_l3  item-units of a lot eaten on leg 3 (_y3: in stay 3)
//	line_i2_s0        1 when anything of the item is carried away
//	trips_s0          trips, whole
//	unmet_n1_l3       need-units unmet on leg 3 (_y3: in stay 3)
//	lack_n1_l3        need-units of reserve lacking after leg 3
//
// A lot held on day 0 is named held_i2_a0_d3: a counts the item's lots.
// What is thrown away needs no column: a holding may shrink by itself.
type milp struct {
	notes   []string // what the names stand for
	columns []milpColumn
	rows    []milpRow
}

type milpColumn struct {
	name         string
	cost         float64
	lower, upper float64 // upper may be +Inf
	whole        bool
}

type milpRow struct {
	name  string
	sense byte // 'L' at most, 'G' at least, 'E' equal
	right float64
	terms []milpTerm
}

type milpTerm struct {
	column int
	factor float64
}

func (m *milp) column(c milpColumn) int {
	m.columns = append(m.columns, c)
	return len(m.columns) - 1
}

// real adds a column from 0 up.
func (m *milp) real(cost float64, format string, places ...any) int {
	return m.column(milpColumn{name: fmt.Sprintf(format, places...), cost: cost, upper: math.Inf(1)})
}

// row adds a row unless it is empty and so says nothing.
func (m *milp) row(sense byte, right float64, terms []milpTerm, format string, places ...any) {
	if len(terms) > 0 {
		m.rows = append(m.rows, milpRow{fmt.Sprintf(format, places...), sense, right, terms})
	}
}

// exporter builds the model of a brief. It reckons its periods and lots by
// itself, so that the model and Verify can be held against each other.
type exporter struct {
	milp
	brief  Brief
	trips  []int
	weight [][]milpTerm            // kilograms by departure
	volume []map[string][]milpTerm // litres by departure and space
	carry  [][]milpTerm            // kilograms carried away by stop
}

// newModel builds the model of a well-formed brief.
func newModel(b Brief) *milp {
	e := &exporter{brief: b}
	for s := range b.Stops {
		e.weight = append(e.weight, nil)
		e.carry = append(e.carry, nil)
		e.volume = append(e.volume, map[string][]milpTerm{})
		e.trips = append(e.trips, e.column(milpColumn{name: fmt.Sprintf("trips_s%d", s),
			cost: b.Stops[s].TripCost, upper: math.Inf(1), whole: true}))
	}
	items := 0
	for n, need := range b.Needs {
		e.notes = append(e.notes, fmt.Sprintf("n%d is need %q", n, need.ID))
		ne := exportNeed{exporter: e, need: need, number: n}
		for _, it := range need.Items {
			e.notes = append(e.notes, fmt.Sprintf("i%d is item %q of n%d", items, it.ID, n))
			ne.item(it, items)
			items++
		}
		ne.periods()
		ne.reserves()
	}
	e.stops()
	return &e.milp
}

// stops adds the rows that bind all needs together.
func (e *exporter) stops() {
	for s, stop := range e.brief.Stops {
		if carry := stop.TripCarryKg; carry != nil && len(e.carry[s]) > 0 {
			e.row('L', 0, append(e.carry[s], milpTerm{e.trips[s], -*carry}), "carry_s%d", s)
		}
		for k, space := range e.brief.Stowage.Spaces {
			e.row('L', space.Litres, e.volume[s][space.ID], "room_v%d_d%d", k, s)
		}
		if limit := e.brief.Stowage.PayloadKg; limit != nil {
			e.row('L', *limit, e.weight[s], "payload_d%d", s)
		}
	}
	for k, space := range e.brief.Stowage.Spaces {
		e.notes = append(e.notes, fmt.Sprintf("v%d is space %q", k, space.ID))
	}
}
