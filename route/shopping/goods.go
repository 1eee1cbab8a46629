package shopping

import (
	"fmt"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/route/plan"
)

// goods warns of what others found wrong with an item at a stop.
func (m *maker) goods(i item.Item, buys []plan.Purchase) []string {
	for _, b := range buys {
		if o, ok := m.Notes.Offer(b.Item, b.Stop, b.Pack); ok {
			return goodsWords(i, o.Estimate.Goods)
		}
	}
	return nil
}

func goodsWords(i item.Item, g pricing.Goods) []string {
	var out []string
	switch {
	case g.Insects > 0:
		out = append(out, fmt.Sprintf("%d of %d reports here found insects or mould: open a pack before you buy ten, see-through bags first.", g.Insects, g.Graded))
	case g.Poor > 0 && 3*g.Poor >= g.Graded:
		out = append(out, fmt.Sprintf("%d of %d reports here call it poor: look twice.", g.Poor, g.Graded))
	}
	if g.Worst != "" {
		s := fmt.Sprintf("%s of origin %s is often poor", i.Name, g.Worst)
		if g.Best != "" {
			s += "; prefer " + g.Best
		}
		out = append(out, s+".")
	}
	return out
}
