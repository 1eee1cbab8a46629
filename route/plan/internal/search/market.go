package search

import (
	"math"
	"slices"
)

// market lists what pays for an outlet at the worths, the best first.
func (h *hull) market(o *outlet) {
	h.sales = h.sales[:0]
	for w := range o.credit {
		for leg := o.source.Stop; leg < h.m.Legs(); leg++ {
			o.credit[w][leg+1] = o.credit[w][leg]
			if o.covers[w][leg] {
				o.credit[w][leg+1] += h.keep[leg]
			}
		}
	}
	tail := sale{}
	for k := range o.uses {
		u := &o.uses[k]
		profit := -u.cost - u.extra
		if u.way >= 0 {
			profit += o.credit[u.way][u.until+1]
		}
		if u.segment < 0 {
			if profit > tail.profit {
				tail = sale{profit, h.most, u, true}
			}
			continue
		}
		profit += h.worth[u.segment]
		if profit <= 0 {
			continue
		}
		amount := h.n.Segments[u.segment].Amount
		if last := len(h.sales) - 1; last >= 0 && h.sales[last].use.segment == u.segment {
			if profit > h.sales[last].profit { // another way for the same segment
				h.sales[last] = sale{profit, amount, u, u.way >= 0}
			}
			continue
		}
		h.sales = append(h.sales, sale{profit, amount, u, u.way >= 0})
	}
	if tail.profit > 0 {
		h.sales = append(h.sales, tail)
	}
	h.sort()
	left := o.carry
	for k := range h.sales {
		if h.sales[k].carried {
			h.sales[k].amount = min(h.sales[k].amount, left)
			left -= h.sales[k].amount
		}
	}
	h.sales = slices.DeleteFunc(h.sales, func(s sale) bool { return s.amount <= 0 })
}

// sort puts the sales that pay best first, else as they come.
func (h *hull) sort() {
	ranks := h.ranks[:0]
	for k := range h.sales {
		profit, at := h.sales[k].profit, k
		ranks = append(ranks, rank{})
		for ; at > 0 && ranks[at-1].profit < profit; at-- {
			ranks[at] = ranks[at-1]
		}
		ranks[at] = rank{profit, k}
	}
	sorted := h.mixed[:0]
	for _, r := range ranks {
		sorted = append(sorted, h.sales[r.at])
	}
	h.ranks, h.sales, h.mixed = ranks, sorted, h.sales
}

// best is what an outlet earns at most, and counts what it sells.
func (h *hull) best(o *outlet) float64 {
	h.add(true)
	carried, amount := h.buy(o)
	carried -= o.fixed
	h.add(false)
	direct, little := h.buy(o)
	if direct >= carried {
		h.sell(o, little, false)
		return direct
	}
	h.sell(o, amount, true)
	return carried
}

// add sums the sales, with or without what must be carried away.
func (h *hull) add(carried bool) {
	h.sums = append(h.sums[:0], sum{})
	last := sum{}
	for _, s := range h.sales {
		if s.carried && !carried {
			continue
		}
		last.amount += s.amount
		last.profit += s.amount * s.profit
		h.sums = append(h.sums, last)
	}
}

// earns is the profit of selling an amount, or all that pays.
func (h *hull) earns(amount float64) float64 {
	low, high := 0, len(h.sums)-1
	if amount >= h.sums[high].amount {
		return h.sums[high].profit
	}
	for high-low > 1 {
		mid := (low + high) / 2
		if h.sums[mid].amount <= amount {
			low = mid
		} else {
			high = mid
		}
	}
	a, b := h.sums[low], h.sums[high]
	return a.profit + (b.profit-a.profit)*(amount-a.amount)/(b.amount-a.amount)
}

// buy returns the most that can be earned less the price of the packs, and
// the amount in them, and notes the packs.
func (h *hull) buy(o *outlet) (earned, amount float64) {
	if o.source.Aboard >= 0 {
		return h.earns(o.source.Held), o.source.Held
	}
	h.earned = math.Inf(-1)
	h.tried = append(h.tried[:0], make([]int, len(o.source.Offers))...)
	h.buyFrom(o.source.Offers, 0, 0, 0)
	return h.earned, h.supply
}

// buyFrom goes through the counts of each offer but the last, whose best
// count follows since earnings are concave.
func (h *hull) buyFrom(offers []int, at int, amount, spent float64) {
	if at == len(offers) {
		if earned := h.earns(amount) - spent; earned > h.earned {
			h.earned, h.supply = earned, amount
			h.bought = append(h.bought[:0], h.tried...)
		}
		return
	}
	offer := &h.n.Offers[offers[at]]
	try := func(packs int) {
		h.tried[at] = packs
		h.buyFrom(offers, at+1, amount+float64(packs)*offer.Size, spent+float64(packs)*offer.Price)
	}
	if at == len(offers)-1 {
		low := min(offer.Limit, max(offer.Min, int(math.Floor((h.above(offer.Price/offer.Size)-amount)/offer.Size))))
		try(low)
		if low < offer.Limit {
			try(low + 1)
		}
		return
	}
	total := h.sums[len(h.sums)-1].amount
	for packs := offer.Min; packs <= offer.Limit; packs++ {
		try(packs)
		if amount+float64(packs)*offer.Size >= total {
			break
		}
	}
}

// above is the amount that sells at a profit above a price.
func (h *hull) above(price float64) float64 {
	for k := 1; k < len(h.sums); k++ {
		a, b := h.sums[k-1], h.sums[k]
		if b.profit-a.profit <= price*(b.amount-a.amount) {
			return a.amount
		}
	}
	return h.sums[len(h.sums)-1].amount
}

// sell counts what an outlet sells of an amount.
func (h *hull) sell(o *outlet, amount float64, carried bool) {
	for _, s := range h.sales {
		if amount <= 0 {
			return
		}
		if s.carried && !carried {
			continue
		}
		part := min(amount, s.amount)
		amount -= part
		if s.use.segment >= 0 {
			h.sold[s.use.segment] += part
		}
		if s.use.way < 0 {
			continue
		}
		h.take(o.source, s.use, part)
		for leg := o.source.Stop; leg <= s.use.until; leg++ {
			if o.covers[s.use.way][leg] {
				h.kept[leg] += part
			}
		}
	}
}

// take counts the room that a sale takes up.
func (h *hull) take(s *Source, u *use, amount float64) {
	if h.takes == nil {
		return
	}
	w := s.Ways[u.way]
	for q := s.Stop; q <= u.to; q++ {
		h.takes[w.Room][q] += amount * w.Litres
		h.takes[h.m.Payload()][q] += amount * s.Kg
	}
}
