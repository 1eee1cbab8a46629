package web

import (
	"strings"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/route/shopping"
)

// judge says what a price and a pack met in the shop mean.
type judge struct {
	currency, home money.Currency
	ahead          func(pricing.ItemID) string // where it is cheaper next; may be nothing
}

func (q *request) judge(l shopping.List, x api.Planned) judge {
	return judge{l.Currency, l.Home, func(id pricing.ItemID) string {
		a, err := q.svc.AheadItem(q.r.Context(), x.Voyage, id, x.Notes.Stops[l.Stop].Call)
		if err != nil {
			return "" // the voyage was changed since the plan: nothing is known
		}
		for _, p := range a.Ahead {
			if p.Saving > 0.05 && p.Available >= 0.5 {
				f := q.frame("", "", "")
				return q.say("shop.next", p.Name, f.Date(p.Arrive), f.Cash(p.Price, l.Home), f.Unit(string(p.Unit)))
			}
		}
		return q.say("shop.no_next")
	}}
}

// of is the new count for the pack met, and how the price compares with what
// was expected for as much.
func (j judge) of(q *request, f *Frame, line shopping.Line, t api.DraftLine) (string, bool) {
	if t.Pack == "" && t.Price == "" || len(line.Packs) == 0 {
		return "", false
	}
	pack := line.MainPack()
	said := ""
	if t.Pack != "" {
		met, err := measure.ParsePack(t.Pack, line.Unit)
		if err != nil {
			return q.say("shop.bad_pack", t.Pack, packExample[line.Unit]), true
		}
		if met != pack {
			said = q.say("shop.count", countOf(line.Amount, met), f.Much(met.Units(), line.Unit))
		}
		pack = met
	}
	if t.Price == "" {
		return said, false
	}
	paid, err := money.Parse(t.Price, j.currency)
	if err != nil {
		return q.say("shop.bad_price", t.Price, j.currency), true
	}
	verdict, dear := j.verdict(q, f, line, paid.Float()/pack.Units())
	return strings.TrimSpace(said + " " + verdict), dear
}

var packExample = map[measure.Unit]string{measure.Kilogram: "500 g", measure.Litre: "1.5 l", measure.Each: "12"}

// verdict compares a price per unit with the interval expected.
func (j judge) verdict(q *request, f *Frame, line shopping.Line, per float64) (string, bool) {
	r := line.Local
	if r.Expect == 0 {
		r = line.Home
	}
	amount := max(line.Amount, 1e-9)
	share := per * amount / max(r.Expect, 1e-9)
	switch {
	case per*amount > r.High:
		return q.say("shop.dear", f.Num(100*(share-1), 0)) + " " + j.ahead(line.Item), true
	case per*amount < r.Low:
		return q.say("shop.cheap", f.Num(100*(1-share), 0)), false
	}
	return q.say("shop.usual"), false
}
