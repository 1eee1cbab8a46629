package plan

import (
	"fmt"
	"math"

	"hardtack/route/plan/internal/search"
)

// say names what no lot can reach, and what would silently stay unmet because
// everything in reach costs more than going without.
func (w *writer) say() {
	for i := range w.brief.Needs {
		beyond := make([]float64, 2*len(w.brief.Stops)-1)
		dear := make([]float64, len(beyond)) // lowest cost per need-unit where it is above missing_cost
		for g := range w.model.Needs[i].Segments {
			w.reach(i, g, beyond, dear)
		}
		for p := range beyond {
			if beyond[p] > search.Slack {
				w.plan.Unreachable = append(w.plan.Unreachable, Missing{w.brief.Needs[i].ID, periodName(p), beyond[p]})
			}
			if dear[p] > 0 {
				w.plan.Warnings = append(w.plan.Warnings, w.warning(i, p, dear[p]))
			}
		}
	}
}

func (w *writer) reach(need, g int, beyond, dear []float64) {
	n := w.model.Needs[need]
	segment := n.Segments[g]
	reached, least := false, math.Inf(1)
	for i := range n.Sources {
		s := &n.Sources[i]
		if !s.Serves(segment) {
			continue
		}
		reached = true
		for _, o := range s.Offers {
			least = min(least, n.Offers[o].Price/n.Offers[o].Size+s.Taste)
		}
	}
	switch {
	case !reached:
		beyond[segment.Period] += segment.Amount
	case least > n.Miss && !math.IsInf(least, 1):
		dear[segment.Period] = max(dear[segment.Period], least)
	}
}

func (w *writer) warning(need, period int, least float64) string {
	n := &w.brief.Needs[need]
	return fmt.Sprintf("%s, %s: every offer in reach costs at least %.2f %s per %s, more than the %.2f of going without; "+
		"left to the planner it stays unmet", n.ID, periodName(period), least, w.brief.Currency, n.Unit, n.MissingCost)
}
