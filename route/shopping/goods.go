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
	out = append(out, contrast("look.origin", "look.origin.prefer", i, g.Origin, wording.Text)...)
	return append(out, contrast("look.packed", "look.packed.prefer", i, g.Packed, packed)...)
}

// contrast warns of an origin or a packaging, and names a better one.
func contrast(key, prefer string, i item.Item, c pricing.Contrast, name func(string) wording.Fact) []wording.Remark {
	if c.Worst == "" {
		return nil
	}
	facts := []wording.Fact{
		wording.Item(string(i.ID), i.Name), name(c.Worst), wording.Text(strconv.Itoa(c.Poor)), wording.Text(strconv.Itoa(c.Graded)),
	}
	if c.Best != "" {
		key, facts = prefer, append(facts, name(c.Best))
	}
	return []wording.Remark{wording.Say(key, facts...)}
}

// packed is the name of a kind of packaging.
func packed(kind string) wording.Fact {
	return wording.Fact{Kind: wording.KindWord, ID: "packed." + kind, Text: kind}
}
