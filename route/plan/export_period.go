package plan

import (
	"fmt"
	"maps"
	"slices"
)

// periods balances each period's use and holds each expiry in it to the use
// before it.
func (e *exportNeed) periods() {
	for p := range 2*len(e.brief.Stops) - 1 {
		unmet := e.real(e.need.MissingCost, "unmet_n%d_%s", e.number, periodTag(p))
		terms := []milpTerm{{unmet, 1}}
		for _, x := range e.ports {
			if 2*x.stop == p {
				terms = append(terms, milpTerm{x.column, x.yield})
			}
		}
		terms = append(terms, e.eatenBy(p, e.routeEnd())...)
		e.row('E', e.total(p), terms, "use_n%d_%s", e.number, periodTag(p))
		e.expiries(p)
	}
}

// routeEnd is past every expiry that matters and finite.
func (e *exportNeed) routeEnd() float64 {
	latest := 0.0
	for _, l := range e.lots {
		latest = max(latest, l.expires)
	}
	return latest
}

func (e *exportNeed) expiries(p int) {
	start, end := e.times(p)
	moments := map[float64]bool{}
	for _, l := range e.lots {
		if _, ok := l.drawn[p]; ok && l.expires < end-1e-9 {
			moments[l.expires] = true
		}
	}
	for i, at := range slices.Sorted(maps.Keys(moments)) {
		e.row('L', e.perDay(p)*(at-start), e.eatenBy(p, at), "first_n%d_%s_e%d", e.number, periodTag(p), i)
	}
}

// eatenBy is what is eaten in a period of the lots that expire by a moment,
// need-units.
func (e *exportNeed) eatenBy(p int, at float64) (terms []milpTerm) {
	for _, l := range e.lots {
		if c, ok := l.drawn[p]; ok && l.expires <= at+1e-9 {
			terms = append(terms, milpTerm{c, l.item.Yield})
		}
	}
	return terms
}

// reserves: on arrival what is uneaten and keeps long enough, or what lacks.
func (e *exportNeed) reserves() {
	for leg := range len(e.brief.Stops) - 1 {
		due := e.due(leg)
		if due == 0 {
			continue
		}
		until := e.brief.Stops[leg+1].Arrive + e.brief.Stops[leg].ReserveDays
		terms := []milpTerm{{e.real(e.need.ReserveMissingCost, "lack_n%d_l%d", e.number, leg), 1}}
		for _, l := range e.lots {
			if held, ok := l.held[leg]; ok && l.expires >= until-1e-9 {
				terms = append(terms, milpTerm{held, l.item.Yield})
				terms = append(terms, e.present(l.drawn, 2*leg+1, -l.item.Yield)...)
			}
		}
		e.row('G', due, terms, "reserve_n%d_l%d", e.number, leg)
	}
}

func (e *exportNeed) due(leg int) float64 {
	if e.need.Reserve != nil {
		return e.need.Reserve[leg]
	}
	return e.brief.Stops[leg].ReserveDays * e.need.UseAtSea[leg]
}

func (e *exportNeed) perDay(p int) float64 {
	if p%2 == 0 {
		return e.need.UseInPort[p/2]
	}
	return e.need.UseAtSea[p/2]
}

func (e *exportNeed) total(p int) float64 {
	start, end := e.times(p)
	return e.perDay(p) * max(end-start, 0)
}

func (e *exporter) times(p int) (start, end float64) {
	if s := e.brief.Stops[p/2]; p%2 == 0 {
		return s.Arrive, s.Depart
	}
	return e.brief.Stops[p/2].Depart, e.brief.Stops[p/2+1].Arrive
}

func periodTag(p int) string {
	if p%2 == 0 {
		return fmt.Sprintf("y%d", p/2)
	}
	return fmt.Sprintf("l%d", p/2)
}
