package plan

import (
	"fmt"
	"math"
)

// statements recomputes what the plan says of itself and compares.
func (a *audit) statements() {
	a.trips()
	a.missing()
	a.reserves()
	for key, amount := range a.lines {
		if amount > amountSlack {
			a.cost.Lines += a.items[key.item].LineCost
		}
	}
	a.costs()
}

func (a *audit) trips() {
	stated := map[int]int{}
	for _, t := range a.plan.Trips {
		stated[t.Stop] += t.Count
		if t.Stop >= len(a.brief.Stops) {
			a.broken(RuleTrips, fmt.Sprintf("stop %d", t.Stop), "the last stop is %d", len(a.brief.Stops)-1)
		}
	}
	for s, stop := range a.brief.Stops {
		kg, any := a.carried(s)
		count := 0.0
		if any {
			count = 1
		}
		if carry := stop.TripCarryKg; carry != nil {
			count = max(count, math.Ceil((kg-amountSlack) / *carry))
		}
		a.cost.Trips += count * stop.TripCost
		if float64(stated[s]) != count {
			a.broken(RuleTrips, fmt.Sprintf("stop %d", s), "%d stated, %v carry the %v kg", stated[s], count, kg)
		}
	}
}

type lackKey struct {
	need string
	at   int // period or leg
}

func (a *audit) missing() {
	missing := a.stated(a.plan.Missing, RuleMissing)
	unreachable := a.stated(a.plan.Unreachable, RuleUnreachable)
	for n, need := range a.brief.Needs {
		for p := range a.periods() {
			where := func() string { return fmt.Sprintf("%s, %s", need.ID, periodName(p)) }
			unmet := max(a.use(n, p)-a.eaten[n][p], 0)
			a.cost.Missing += unmet * need.MissingCost
			key := lackKey{need.ID, p}
			if differ(missing[key], unmet, amountSlack) {
				a.broken(RuleMissing, where(), "%v stated, %v is unmet", missing[key], unmet)
			}
			if stated := unreachable[key]; stated > 0 {
				a.unreachable(n, p, stated, unmet, where)
			}
		}
	}
}

// unreachable: what is called out of reach is also missing, and lies past
// what any offer could serve.
func (a *audit) unreachable(need, period int, stated, unmet float64, where func() string) {
	if stated > unmet+amountSlack {
		a.broken(RuleUnreachable, where(), "%v stated, but only %v is missing", stated, unmet)
	}
	_, end := a.span(period)
	beyond := a.perDay(need, period) * (end - a.reach(need, period))
	if stated > beyond+amountSlack {
		a.broken(RuleUnreachable, where(), "%v stated, but an offer reaches all save %v", stated, beyond)
	}
}

// stated sums the amounts of a list by need and period.
func (a *audit) stated(list []Missing, r Rule) map[lackKey]float64 {
	known := map[string]bool{}
	for _, n := range a.brief.Needs {
		known[n.ID] = true
	}
	amounts := map[lackKey]float64{}
	for i, m := range list {
		p, _ := periodIndex(m.Period)
		if !known[m.Need] || p >= a.periods() {
			a.broken(r, fmt.Sprintf("entry %d", i), "need %q, %s: not in the brief", m.Need, m.Period)
		}
		amounts[lackKey{m.Need, p}] += m.Amount
	}
	return amounts
}

func (a *audit) reserves() {
	stated := map[lackKey]float64{}
	known := map[lackKey]bool{}
	for _, m := range a.plan.ReserveMissing {
		stated[lackKey{m.Need, m.Leg}] += m.Amount
	}
	for n, need := range a.brief.Needs {
		for leg := range len(a.brief.Stops) - 1 {
			key := lackKey{need.ID, leg}
			known[key] = true
			lacking := a.reserveLacking(n, leg)
			a.cost.ReserveMissing += lacking * need.ReserveMissingCost
			if differ(stated[key], lacking, amountSlack) {
				a.broken(RuleReserve, fmt.Sprintf("%s, leg %d", need.ID, leg), "%v stated, %v lacks", stated[key], lacking)
			}
		}
	}
	for i, m := range a.plan.ReserveMissing {
		if !known[lackKey{m.Need, m.Leg}] {
			a.broken(RuleReserve, fmt.Sprintf("entry %d", i), "need %q, leg %d: not in the brief", m.Need, m.Leg)
		}
	}
}

func (a *audit) costs() {
	c, s := &a.cost, a.plan.Cost
	c.Total = c.Goods + c.Trips + c.Lines + c.Taste + c.Missing + c.ReserveMissing
	slack := moneySlack*c.Total + 1e-9
	for _, part := range []struct {
		name         string
		stated, real float64
	}{
		{"goods", s.Goods, c.Goods}, {"trips", s.Trips, c.Trips}, {"lines", s.Lines, c.Lines},
		{"taste", s.Taste, c.Taste}, {"missing", s.Missing, c.Missing},
		{"reserve_missing", s.ReserveMissing, c.ReserveMissing}, {"total", s.Total, c.Total},
	} {
		if differ(part.stated, part.real, slack) {
			a.broken(RuleCost, part.name, "%v stated, %v recomputed", part.stated, part.real)
		}
	}
	if !(a.plan.Bound <= c.Total+slack) {
		a.broken(RuleBound, "bound", "%v, the total is %v", a.plan.Bound, c.Total)
	}
	gap := 0.0
	if c.Total > 0 {
		gap = (c.Total - a.plan.Bound) / c.Total
	}
	if differ(a.plan.Gap, gap, 2*moneySlack) {
		a.broken(RuleGap, "gap", "%v stated, (total - bound) / total is %v", a.plan.Gap, gap)
	}
}
