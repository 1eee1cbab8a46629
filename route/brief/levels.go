package brief

import "hardtack/route/plan"

// Level is how full a space is along a plan, in litres as stowed: right after
// each stop's departure and on each arrival, before anything is taken away.
type Level struct {
	Space    string    `json:"space"`
	Room     float64   `json:"room"`
	Leaving  []float64 `json:"leaving"`
	Arriving []float64 `json:"arriving"`
}

// LevelsOf follows every space of a brief through a plan of it.
func LevelsOf(b plan.Brief, p plan.Plan) []Level {
	lots := ledger(b, p)
	items := itemsOf(b)
	var out []Level
	for _, sp := range b.Stowage.Spaces {
		l := Level{Space: sp.ID, Room: sp.Litres}
		for s := range b.Stops {
			l.Leaving = append(l.Leaving, litresAt(b, lots, sp.ID, s))
			sum := 0.0
			for _, h := range lots {
				if h.space == sp.ID && h.expires > b.Stops[s].Arrive && !gone(items[h.item], h.from, s-1) {
					sum += h.at(stayPeriod(s)) * items[h.item].Litres
				}
			}
			l.Arriving = append(l.Arriving, sum)
		}
		out = append(out, l)
	}
	return out
}

// Stock is how much of a need is aboard along a plan, in need-units, at the
// same moments as Level.
type Stock struct {
	Leaving  []float64 `json:"leaving"`
	Arriving []float64 `json:"arriving"`
	UseBy    []UseBy   `json:"use_by"` // of lots some of which are aboard on their last good day
}

// UseBy is an amount that is past its time from a moment on, days since start.
type UseBy struct {
	Item   string  `json:"item"`
	Day    float64 `json:"day"`
	Amount float64 `json:"amount"` // need-units aboard when its leg or stay begins
}

// StockOf follows one need through a plan.
func StockOf(b plan.Brief, p plan.Plan, need string) Stock {
	lots := ledger(b, p)
	items := itemsOf(b)
	st := Stock{Leaving: make([]float64, len(b.Stops)), Arriving: make([]float64, len(b.Stops))}
	for _, h := range lots {
		if h.need != need {
			continue
		}
		yield := items[h.item].Yield
		for s, stop := range b.Stops {
			if h.expires > stop.Depart && !gone(items[h.item], h.from, s) {
				st.Leaving[s] += h.at(legPeriod(s)) * yield
			}
			if h.expires > stop.Arrive && !gone(items[h.item], h.from, s-1) {
				st.Arriving[s] += h.at(stayPeriod(s)) * yield
			}
		}
		if left, ok := h.onLastDay(b, items[h.item]); ok {
			st.UseBy = append(st.UseBy, UseBy{h.item, h.expires, left * yield})
		}
	}
	return st
}

// onLastDay is what is aboard of a holding when the stay or leg of its last
// good day begins; false when that is nothing, or the season is over by then.
func (h holding) onLastDay(b plan.Brief, it plan.Item) (float64, bool) {
	for s, stop := range b.Stops {
		if gone(it, h.from, s) {
			return 0, false
		}
		for _, period := range []struct {
			n   int
			end float64
		}{{stayPeriod(s), stop.Depart}, {legPeriod(s), nextArrival(b, s)}} {
			if h.expires <= period.end {
				left := h.at(period.n)
				return left, left > 1e-9
			}
		}
	}
	return 0, false
}

func nextArrival(b plan.Brief, s int) float64 {
	if s+1 < len(b.Stops) {
		return b.Stops[s+1].Arrive
	}
	return b.Stops[s].Depart
}
