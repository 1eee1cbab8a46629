package plan

import (
	"fmt"
	"strconv"
	"strings"
)

// aboardPrefix begins the name of a lot held on day 0, never a purchase id.
const aboardPrefix = "aboard "

// check names what no plan may hold, whatever its brief.
func (p Plan) check(ps *problems) {
	if p.Version != 1 {
		ps.add("plan", fmt.Sprintf("is %d", p.Version), "1, the version of the contract")
	}
	ps.currency(p.Currency, "currency")
	p.Cost.check(ps)
	ps.finite(p.Bound, "bound")
	ps.finite(p.Gap, "gap")
	seen := map[string]bool{}
	for i, b := range p.Purchases {
		b.check(ps, join("purchases", i), seen)
	}
	for i, d := range p.Draws {
		ps.period(d.Period, "draws", i)
		ps.atLeast0(d.Amount, "draws", i, "amount")
	}
	for i, d := range p.Discards {
		ps.whole(d.Stop, "discards", i, "stop")
		ps.atLeast0(d.Amount, "discards", i, "amount")
	}
	p.checkLacks(ps)
}

func (p Plan) checkLacks(ps *problems) {
	for i, m := range p.Missing {
		ps.period(m.Period, "missing", i)
		ps.atLeast0(m.Amount, "missing", i, "amount")
	}
	for i, m := range p.Unreachable {
		ps.period(m.Period, "unreachable", i)
		ps.atLeast0(m.Amount, "unreachable", i, "amount")
	}
	for i, m := range p.ReserveMissing {
		ps.whole(m.Leg, "reserve_missing", i, "leg")
		ps.atLeast0(m.Amount, "reserve_missing", i, "amount")
	}
	for i, t := range p.Trips {
		ps.whole(t.Stop, "trips", i, "stop")
		ps.whole(t.Count, "trips", i, "count")
	}
}

func (c Cost) check(ps *problems) {
	ps.atLeast0(c.Goods, "cost.goods")
	ps.atLeast0(c.Trips, "cost.trips")
	ps.atLeast0(c.Lines, "cost.lines")
	ps.atLeast0(c.Taste, "cost.taste")
	ps.atLeast0(c.Missing, "cost.missing")
	ps.atLeast0(c.ReserveMissing, "cost.reserve_missing")
	ps.atLeast0(c.Total, "cost.total")
}

func (b Purchase) check(ps *problems, at string, seen map[string]bool) {
	ps.id(b.ID, at, seen)
	if strings.HasPrefix(b.ID, aboardPrefix) {
		ps.add(join(at, "id"), fmt.Sprintf("is %q", b.ID), "an id that does not begin with \"aboard \"")
	}
	ps.whole(b.Stop, at, "stop")
	ps.whole(b.Packs, at, "packs")
	ps.above0(b.Pack, at, "pack")
	ps.atLeast0(b.Price, at, "price")
	ps.atLeast0(b.EatenInPort, at, "eaten_in_port")
	for i, s := range b.Stowed {
		ps.atLeast0(s.Amount, at, "stowed", i, "amount")
	}
}

func (ps *problems) whole(n int, path string, parts ...any) {
	if n < 0 {
		ps.add(join(path, parts...), fmt.Sprintf("is %d", n), "a whole number of at least 0")
	}
}

func (ps *problems) period(text, list string, i int) {
	if _, ok := periodIndex(text); !ok {
		ps.add(join(list, i, "period"), fmt.Sprintf("is %q", text), `a period as in "stay 3" or "leg 2"`)
	}
}

// periodIndex counts the periods in their order: stay s is 2s, leg l is 2l+1.
func periodIndex(text string) (int, bool) {
	kind, digits, _ := strings.Cut(text, " ")
	n, err := strconv.Atoi(digits)
	if err != nil || n < 0 || n > 1<<20 || strconv.Itoa(n) != digits {
		return 0, false
	}
	switch kind {
	case "stay":
		return 2 * n, true
	case "leg":
		return 2*n + 1, true
	}
	return 0, false
}

// periodName is the text of a period.
func periodName(period int) string {
	if period%2 == 0 {
		return "stay " + strconv.Itoa(period/2)
	}
	return "leg " + strconv.Itoa(period/2)
}
