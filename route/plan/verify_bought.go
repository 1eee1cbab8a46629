package plan

import "fmt"

// purchases enters what was bought, and what of it was stowed, as lots.
func (a *audit) purchases() {
	for _, b := range a.plan.Purchases {
		where := func() string { return fmt.Sprintf("purchase %s", b.ID) }
		it := a.items[b.Item]
		switch {
		case it == nil:
			a.broken(RuleOffer, where(), "item %q is not in the brief", b.Item)
		case b.Need != a.brief.Needs[it.need].ID:
			a.broken(RuleOffer, where(), "need %q, but %s serves %q", b.Need, b.Item, a.brief.Needs[it.need].ID)
		case b.Stop >= len(a.brief.Stops):
			a.broken(RuleOffer, where(), "stop %d, the last is %d", b.Stop, len(a.brief.Stops)-1)
		default:
			a.purchase(b, it, where)
		}
	}
}

func (a *audit) purchase(b Purchase, it *auditItem, where func() string) {
	o, ok := it.offer(b.Stop, b.Pack)
	if !ok {
		a.broken(RuleOffer, where(), "no pack of %v %s is offered at stop %d", b.Pack, b.Item, b.Stop)
		return
	}
	if differ(b.Price, o.Price, 1e-9*o.Price) {
		a.broken(RuleOffer, where(), "price %v, the offer's is %v", b.Price, o.Price)
	}
	a.cost.Goods += float64(b.Packs) * o.Price
	a.eat(it, 2*b.Stop, b.EatenInPort)
	stowed := 0.0
	for _, s := range b.Stowed {
		stowed += s.Amount
		a.stow(b, it, s, where)
	}
	bought := float64(b.Packs) * o.Pack
	if over := b.EatenInPort + stowed - bought; over > amountSlack {
		a.broken(RulePacks, where(), "%v eaten in port and %v stowed of %v bought (%d packs of %v)",
			b.EatenInPort, stowed, bought, b.Packs, b.Pack)
	}
}

func (a *audit) stow(b Purchase, it *auditItem, s Stowed, where func() string) {
	days, ok := it.keepsIn(s.Space, b.Stop)
	if !ok {
		a.broken(RuleStowed, where(), "%v %s into %q, where it does not keep", s.Amount, b.Item, s.Space)
		return
	}
	if last := len(a.brief.Stops) - 1; b.Stop == last && s.Amount > amountSlack {
		a.broken(RuleStowed, where(), "%v %s stowed at the last stop, %d", s.Amount, b.Item, last)
	}
	l := a.enter(it, b.ID, s.Space, b.Stop, a.brief.Stops[b.Stop].Depart+days)
	l.stowed += s.Amount
	a.lines[lineKey{b.Item, b.Stop}] += s.Amount
}

func (it *auditItem) offer(stop int, pack float64) (Offer, bool) {
	for _, o := range it.Offers {
		if o.Stop == stop && o.Pack == pack {
			return o, true
		}
	}
	return Offer{}, false
}

func (it *auditItem) keepsIn(space string, stop int) (days float64, ok bool) {
	for _, k := range it.Keeps {
		if k.Space == space {
			return k.Days[stop], true
		}
	}
	return 0, false
}

// limits holds the packs of each offer, all purchases together, to its limit
// and min.
func (a *audit) limits() {
	type offerKey struct {
		item string
		stop int
		pack float64
	}
	packs := map[offerKey]int{}
	for _, b := range a.plan.Purchases {
		packs[offerKey{b.Item, b.Stop, b.Pack}] += b.Packs
	}
	for _, n := range a.brief.Needs {
		for _, it := range n.Items {
			for _, o := range it.Offers {
				a.limit(it.ID, o, packs[offerKey{it.ID, o.Stop, o.Pack}])
			}
		}
	}
}

func (a *audit) limit(item string, o Offer, packs int) {
	where := func() string { return fmt.Sprintf("%s, pack of %v at stop %d", item, o.Pack, o.Stop) }
	if o.Limit != nil && packs > *o.Limit {
		a.broken(RuleLimit, where(), "%d packs bought, at most %d to be had", packs, *o.Limit)
	}
	if packs < o.Min {
		a.broken(RuleMin, where(), "%d packs bought, at least %d must be", packs, o.Min)
	}
}
