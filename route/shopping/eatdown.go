package shopping

import "hardtack/route/brief"

// speck is an amount in item-units nobody would notice.
const speck = 1e-3

// eatDown is what of the goods aboard at the departure of stop s the country
// of the next stop takes, by the rule that takes it.
func (m *maker) eatDown(s int) []EatDown {
	var out []EatDown
	for _, n := range m.Notes.Surrenders {
		if n.Stop != s+1 {
			continue
		}
		sailing, arriving := aboard(m.Brief, m.Plan, m.items[n.Item], s)
		if sailing <= speck {
			continue
		}
		i := m.catalogueItem(m.catalogued(n.Item))
		out = addGoods(out, n, Goods{i.ID, i.Name, i.Unit, sailing, arriving})
	}
	return out
}

func addGoods(out []EatDown, n brief.SurrenderNote, g Goods) []EatDown {
	for k := range out {
		if !sameRule(out[k], n) {
			continue
		}
		for j := range out[k].Goods {
			if out[k].Goods[j].Item == g.Item {
				out[k].Goods[j].Aboard += g.Aboard
				out[k].Goods[j].Left += g.Left
				return out
			}
		}
		out[k].Goods = append(out[k].Goods, g)
		return out
	}
	return append(out, EatDown{Zone: n.Zone, Rule: n.Rule, Unconfirmed: n.Unconfirmed, BySwitch: n.BySwitch, Goods: []Goods{g}})
}

// sameRule says whether a reader would see no difference: the food class alone
// makes none.
func sameRule(e EatDown, n brief.SurrenderNote) bool {
	a, b := e.Rule, n.Rule
	a.Class, b.Class = "", ""
	return a == b && e.BySwitch == n.BySwitch && e.Unconfirmed == n.Unconfirmed
}
