package brief

import (
	"slices"
	"strings"

	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/wording"
	"hardtack/route/plan"
	"hardtack/route/vessel"
)

type offerKey struct {
	item string
	stop int
	pack measure.Quantity
}

// say notes a remark, once.
func (n *Notes) say(r wording.Remark) {
	text := r.String()
	if !slices.ContainsFunc(n.Said, func(x wording.Remark) bool { return x.String() == text }) {
		n.Said = append(n.Said, r)
	}
}

func (n *Notes) moved(p vessel.Person, need item.Need, to []item.Need) {
	who := wording.Text(nameOf(p))
	switch {
	case need.Appetite == item.Alcohol:
	case to == nil:
		n.say(wording.Say("brief.not_eaten", who, needFact(need)))
	default:
		var names []wording.Fact
		for _, x := range to {
			names = append(names, needFact(x))
		}
		n.say(wording.Say("brief.instead", who, needFact(need), wording.List(names...)))
	}
}

// needFact names a need in the middle of a sentence.
func needFact(n item.Need) wording.Fact { return wording.Need(n.ID, strings.ToLower(n.Name)) }

// Item gives the note of an item of the brief.
func (n *Notes) Item(id string) (ItemNote, bool) {
	if n.index.items == nil {
		n.reindex()
	}
	i, ok := n.index.items[id]
	if !ok {
		return ItemNote{}, false
	}
	return n.Items[i], true
}

// Need gives the note of a need of the brief.
func (n *Notes) Need(id string) (NeedNote, bool) {
	if n.index.needs == nil {
		n.reindex()
	}
	i, ok := n.index.needs[id]
	if !ok {
		return NeedNote{}, false
	}
	return n.Needs[i], true
}

// Offer gives the note of an offer of the brief.
func (n *Notes) Offer(itemID string, stop int, pack float64) (OfferNote, bool) {
	if n.index.offers == nil {
		n.reindex()
	}
	i, ok := n.index.offers[offerKey{itemID, stop, measure.Of(pack)}]
	if !ok {
		return OfferNote{}, false
	}
	return n.Offers[i], true
}

// Period is when a stay or leg ("stay 3", "leg 2") begins and ends, days since
// start; false for what is none.
func (n *Notes) Period(name string) (from, to float64, ok bool) {
	k, ok := periodOf(name)
	switch {
	case !ok || k < 0 || k/2 >= len(n.Stops):
		return 0, 0, false
	case k%2 == 0:
		return n.Stops[k/2].Arrive, n.Stops[k/2].Depart, true
	case k/2 >= len(n.Legs):
		return 0, 0, false
	}
	return n.Legs[k/2].Depart, n.Legs[k/2].Arrive, true
}

func (n *Notes) reindex() {
	n.index.items, n.index.needs = map[string]int{}, map[string]int{}
	n.index.offers = map[offerKey]int{}
	for i, x := range n.Items {
		n.index.items[x.ID] = i
	}
	for i, x := range n.Needs {
		n.index.needs[x.ID] = i
	}
	for i, x := range n.Offers {
		n.index.offers[offerKey{x.Item, x.Stop, x.Pack}] = i
	}
}

// GuessShare is the share of a plan's spend that rests on guessed prices, 0–1.
func (n *Notes) GuessShare(p plan.Plan) float64 {
	guessed, all := 0.0, 0.0
	for _, buy := range p.Purchases {
		paid := float64(buy.Packs) * buy.Price
		all += paid
		if o, ok := n.Offer(buy.Item, buy.Stop, buy.Pack); ok && o.Guess {
			guessed += paid
		}
	}
	if all == 0 {
		return 0
	}
	return guessed / all
}
