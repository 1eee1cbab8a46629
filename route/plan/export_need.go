package plan

import (
	"fmt"
	"math"
)

// exportNeed adds one need's columns and rows.
type exportNeed struct {
	*exporter
	need   Need
	number int
	lots   []exportLot
	ports  []exportPort
}

// exportPort is a column of what is eaten in the stay of purchase.
type exportPort struct {
	stop, column int
	yield        float64
}

// exportLot is a lot in one space with its columns.
type exportLot struct {
	item    Item
	name    string
	space   string
	stop    int         // of purchase; -1 for held on day 0
	lost    int         // stop where it is surrendered
	expires float64     // days
	held    map[int]int // column by departure
	drawn   map[int]int // column by period; stay s is 2s, leg l is 2l+1
}

func (e *exportNeed) item(it Item, number int) {
	for a, l := range it.Aboard {
		lot := e.lot(it, fmt.Sprintf("i%d_a%d", number, a), l.Space, -1, l.Expires)
		e.flow(lot, l.Amount)
	}
	for s := range e.brief.Stops {
		if bought := e.buy(it, number, s); len(bought) > 0 {
			e.use(it, number, s, bought)
		}
	}
}

// buy adds the packs of an item at a stop and returns them as item-units.
func (e *exportNeed) buy(it Item, number, s int) (bought []milpTerm) {
	for o, offer := range it.Offers {
		if offer.Stop != s {
			continue
		}
		most := math.Ceil(e.useful(it, s)/offer.Pack) + 1 // more serves nothing
		upper := max(most, float64(offer.Min))
		if offer.Limit != nil {
			upper = min(upper, float64(*offer.Limit))
		}
		c := e.column(milpColumn{name: fmt.Sprintf("buy_i%d_s%d_o%d", number, s, o), cost: offer.Price,
			lower: float64(offer.Min), upper: upper, whole: true})
		bought = append(bought, milpTerm{c, offer.Pack})
	}
	return bought
}

// use divides what is bought into what is eaten there and what is stowed.
func (e *exportNeed) use(it Item, number, s int, bought []milpTerm) {
	port := e.real(it.TasteCost, "port_i%d_s%d", number, s)
	e.ports = append(e.ports, exportPort{s, port, it.Yield})
	taken := []milpTerm{{port, 1}}
	if s < len(e.brief.Stops)-1 {
		line := e.column(milpColumn{name: fmt.Sprintf("line_i%d_s%d", number, s), cost: it.LineCost, upper: 1, whole: true})
		e.row('L', 0, []milpTerm{{line, 1}, {e.trips[s], -1}}, "trip_i%d_s%d", number, s)
		away := []milpTerm{}
		for k, keep := range it.Keeps {
			lot := e.lot(it, fmt.Sprintf("i%d_s%d_k%d", number, s, k), keep.Space, s, e.brief.Stops[s].Depart+keep.Days[s])
			e.flow(lot, 0)
			away = append(away, milpTerm{lot.held[s], 1})
			e.carry[s] = append(e.carry[s], milpTerm{lot.held[s], it.Kg})
		}
		if len(away) > 0 {
			taken = append(taken, away...)
			e.row('L', 0, append(away, milpTerm{line, -e.useful(it, s)}), "lines_i%d_s%d", number, s)
			e.tighten(it, number, s, line)
		}
	}
	for _, t := range bought {
		taken = append(taken, milpTerm{t.column, -t.factor})
	}
	e.row('L', 0, taken, "packs_i%d_s%d", number, s)
}

// tighten says of each period what lines_ says of all: nothing of the item is
// eaten without its line. It follows from it for whole numbers and makes the
// relaxation stronger.
func (e *exportNeed) tighten(it Item, number, s, line int) {
	for p := 2*s + 1; p < 2*len(e.brief.Stops)-1; p++ {
		var terms []milpTerm
		for _, l := range e.lots {
			if c, ok := l.drawn[p]; ok && l.stop == s && l.item.ID == it.ID {
				terms = append(terms, milpTerm{c, 1})
			}
		}
		if len(terms) > 0 {
			terms = append(terms, milpTerm{line, -e.total(p) / it.Yield})
			e.row('L', 0, terms, "tight_i%d_s%d_%s", number, s, periodTag(p))
		}
	}
}

// useful bounds the item-units bought at a stop that can serve anything: the
// use from there on and the largest reserve.
func (e *exportNeed) useful(it Item, s int) float64 {
	units, reserve := 0.0, 0.0
	for p := 2 * s; p < 2*len(e.brief.Stops)-1; p++ {
		units += e.total(p)
		if p%2 == 1 {
			reserve = max(reserve, e.due(p/2))
		}
	}
	return (units + reserve) / it.Yield
}

// lot adds the draws and holdings of a lot; both end with its life.
func (e *exportNeed) lot(it Item, name, space string, stop int, expires float64) exportLot {
	l := exportLot{item: it, name: name, space: space, stop: stop, lost: len(e.brief.Stops), expires: expires,
		held: map[int]int{}, drawn: map[int]int{}}
	for _, s := range it.SurrenderedAt {
		if s > stop {
			l.lost = min(l.lost, s)
		}
	}
	for p := max(2*stop+1, 0); p < 2*l.lost && p < 2*len(e.brief.Stops)-1; p++ {
		if start, _ := e.times(p); expires > start+1e-9 && e.total(p) > 0 {
			l.drawn[p] = e.real(it.TasteCost, "draw_%s_%s", name, periodTag(p))
		}
	}
	for d := max(stop, 0); d < l.lost && d < len(e.brief.Stops)-1; d++ {
		if expires >= e.brief.Stops[d].Depart-1e-9 {
			l.held[d] = e.real(0, "held_%s_d%d", name, d)
		}
	}
	e.lots = append(e.lots, l)
	return l
}

// flow: what is aboard after a departure was there after the one before, less
// what was eaten; the rest was left behind.
func (e *exportNeed) flow(l exportLot, aboard float64) {
	for d := max(l.stop+1, 0); d < len(e.brief.Stops); d++ {
		right := 0.0
		terms := e.present(l.drawn, 2*d-1, 1)
		terms = append(terms, e.present(l.drawn, 2*d, 1)...)
		terms = append(terms, e.present(l.held, d, 1)...)
		if d == 0 {
			right = aboard
		} else {
			terms = append(terms, e.present(l.held, d-1, -1)...)
		}
		e.row('L', right, terms, "flow_%s_d%d", l.name, d)
	}
	for d := range e.brief.Stops {
		if c, ok := l.held[d]; ok && l.expires > e.brief.Stops[d].Depart+1e-9 {
			e.weight[d] = append(e.weight[d], milpTerm{c, l.item.Kg})
			e.volume[d][l.space] = append(e.volume[d][l.space], milpTerm{c, l.item.Litres})
		}
	}
}

func (e *exportNeed) present(columns map[int]int, key int, factor float64) []milpTerm {
	if c, ok := columns[key]; ok {
		return []milpTerm{{c, factor}}
	}
	return nil
}
