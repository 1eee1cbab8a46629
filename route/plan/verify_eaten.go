package plan

import (
	"fmt"
)

// eat counts item-units eaten in a period, and what the crew minds of them.
func (a *audit) eat(it *auditItem, period int, amount float64) {
	a.eaten[it.need][period] += amount * it.Yield
	a.cost.Taste += amount * it.TasteCost
}

func (a *audit) draws() {
	for i, d := range a.plan.Draws {
		where := func() string { return join("draws", i) }
		period, _ := periodIndex(d.Period)
		l := a.lots[auditKey{d.Item, d.Lot, d.Space}]
		switch {
		case period >= a.periods():
			a.broken(RuleTime, where(), "%s, the last period is %s", d.Period, periodName(a.periods()-1))
		case l == nil:
			a.broken(RuleLot, where(), "no lot %q of %q in space %q", d.Lot, d.Item, d.Space)
		case d.Need != a.brief.Needs[l.item.need].ID:
			a.broken(RuleLot, where(), "need %q, but %s serves %q", d.Need, d.Item, a.brief.Needs[l.item.need].ID)
		default:
			a.draw(l, period, d.Amount, where)
		}
	}
}

func (a *audit) draw(l *auditLot, period int, amount float64, where func() string) {
	if period < l.from {
		a.broken(RuleTime, where(), "%s in %s, can serve from %s on", l.name, periodName(period), periodName(l.from))
	}
	if period >= 2*l.lost {
		a.broken(RuleSurrender, where(), "%v of %s in %s, surrendered on arrival at stop %d",
			amount, l.name, periodName(period), l.lost)
	}
	l.drawn[period] += amount
	a.eat(l.item, period, amount)
}

func (a *audit) discards() {
	for i, d := range a.plan.Discards {
		where := func() string { return join("discards", i) }
		l := a.lots[auditKey{d.Item, d.Lot, d.Space}]
		switch {
		case l == nil:
			a.broken(RuleLot, where(), "no lot %q of %q in space %q", d.Lot, d.Item, d.Space)
		case d.Stop >= len(a.brief.Stops):
			a.broken(RuleTime, where(), "stop %d, the last is %d", d.Stop, len(a.brief.Stops)-1)
		case d.Stop <= l.stop:
			a.broken(RuleTime, where(), "%s left behind at stop %d, bought at stop %d", l.name, d.Stop, l.stop)
		default:
			l.thrown[d.Stop] += d.Amount
		}
	}
}

// balance: a lot gives no more than it held. Nothing flows in after stowing,
// so the sum over the route is the whole of it.
func (a *audit) balance() {
	for _, l := range a.order {
		drawn, thrown := sum(l.drawn), sum(l.thrown)
		if drawn+thrown > l.stowed+amountSlack {
			a.broken(RuleBalance, l.name, "%v eaten and %v left behind of %v", drawn, thrown, l.stowed)
		}
	}
}

// eating holds each period to its use, as a whole and up to each expiry.
func (a *audit) eating() {
	lots := make([][]*auditLot, len(a.brief.Needs))
	for _, l := range a.order {
		lots[l.item.need] = append(lots[l.item.need], l)
	}
	for n, need := range a.brief.Needs {
		for p := range a.eaten[n] {
			where := func() string { return fmt.Sprintf("%s, %s", need.ID, periodName(p)) }
			if use := a.use(n, p); a.eaten[n][p] > use+amountSlack {
				a.broken(RuleUse, where(), "%v eaten, the use is %v", a.eaten[n][p], use)
			}
			a.expiring(lots[n], n, p, where)
		}
	}
}

// expiring: all lots of a need that expire by a moment serve together at most
// the use before it. Every moment where the left side steps is tried.
func (a *audit) expiring(lots []*auditLot, need, period int, where func() string) {
	start, end := a.span(period)
	tried := map[float64]bool{}
	for _, at := range lots {
		if at.drawn[period] == 0 || at.expires >= end-momentSlack || tried[at.expires] {
			continue
		}
		tried[at.expires] = true
		eaten := 0.0
		for _, l := range lots {
			if l.expires <= at.expires+momentSlack {
				eaten += l.drawn[period] * l.item.Yield
			}
		}
		if use := a.perDay(need, period) * max(at.expires-start, 0); eaten > use+amountSlack {
			a.broken(RuleExpiry, where(), "%v need-units eaten of lots that expire by day %v (%s among them), "+
				"the use before is %v", eaten, at.expires, at.name, use)
		}
	}
}

func sum(xs []float64) float64 {
	total := 0.0
	for _, x := range xs {
		total += x
	}
	return total
}
