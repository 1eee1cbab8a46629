package search

import (
	"math"
	"slices"
)

// deal is packs bought together.
type deal struct {
	far   int
	price float64
	packs map[int]int // per offer
}

// inPort lists the packs that may pay when all is eaten in port at a stop.
func (c *chain) inPort(stop int) []deal {
	use := c.depart[stop] - c.arrive[stop]
	if use <= Slack {
		return nil
	}
	size := c.at(use) + 1
	best := make([]deal, size) // for at least so much
	for k := 1; k < size; k++ {
		best[k].price = math.Inf(1)
	}
	for _, i := range c.sold[stop] {
		for _, g := range c.goods[i] {
			best = c.withGood(best, g)
		}
	}
	var deals []deal
	for k := 1; k < size; k++ {
		// A larger amount for no more makes this one superfluous.
		if math.IsInf(best[k].price, 1) || k+1 < size && best[k+1].price <= best[k].price {
			continue
		}
		best[k].far = k
		deals = append(deals, best[k])
	}
	return fewer(deals)
}

// fewer puts neighbours together, as large as the largest of them and as
// cheap as the cheapest.
func fewer(deals []deal) []deal {
	together := (len(deals) + mostDeals - 1) / mostDeals
	if together < 2 {
		return deals
	}
	var few []deal
	for start := 0; start < len(deals); start += together {
		group := deals[start:min(start+together, len(deals))]
		d := group[len(group)-1]
		d.price = group[0].price // they are dearer the larger they are
		few = append(few, d)
	}
	return few
}

// withGood adds packs of one offer to the best deals for the stay.
func (c *chain) withGood(best []deal, g good) []deal {
	next := slices.Clone(best)
	for k := 1; k < len(best); k++ {
		for packs := 1; packs <= g.limit; packs++ {
			rest := max(0, k-packs*g.far)
			over := float64(packs*g.far-k+rest) * c.unit
			price := best[rest].price + float64(packs)*g.price - over*c.waste
			if price < next[k].price {
				counts := map[int]int{g.offer: packs}
				for o, x := range best[rest].packs {
					counts[o] += x
				}
				next[k] = deal{price: price, packs: counts}
			}
			if rest == 0 {
				break
			}
		}
	}
	return next
}
