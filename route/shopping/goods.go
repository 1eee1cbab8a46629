package shopping

import (
	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/wording"
	"hardtack/route/plan"
	"strconv"
)

// goods warns of what others found wrong with an item at a stop.
func (m *maker) goods(i item.Item, buys []plan.Purchase) []wording.Remark {
	for _, b := range buys {
		if o, ok := m.Notes.Offer(b.Item, b.Stop, b.Pack); ok {
			return goodsRemarks(i, o.Estimate.Goods)
		}
	}
	return nil
}

func goodsRemarks(i item.Item, g pricing.Goods) []wording.Remark {
	var out []wording.Remark
	switch {
	case g.Insects > 0:
		out = append(out, wording.Say("look.insects", wording.Text(strconv.Itoa(g.Insects)), wording.Text(strconv.Itoa(g.Graded))))
	case g.Poor > 0 && 3*g.Poor >= g.Graded:
		out = append(out, wording.Say("look.poor", wording.Text(strconv.Itoa(g.Poor)), wording.Text(strconv.Itoa(g.Graded))))
	}
	if g.Worst != "" {
		r := wording.Say("look.origin", wording.Item(string(i.ID), i.Name), wording.Text(g.Worst))
		if g.Best != "" {
			r = wording.Say("look.origin.prefer", wording.Item(string(i.ID), i.Name), wording.Text(g.Worst), wording.Text(g.Best))
		}
		out = append(out, r)
	}
	return out
}
