package search

import "math"

// take keeps the packs of the mix, which does nothing by halves, as the best
// when they are.
func (c *closer) take(cost float64) {
	if cost < c.known {
		c.known, c.best = cost, c.rounded()
		c.best.Flows = c.flows(c.best.Packs)
	}
}

// flows are those of the mix as far as packs feed them, what is sold beyond all
// use no longer eaten but held on for a reserve.
func (c *closer) flows(packs []int) (list []Flow) {
	at := map[Flow]int{}
	add := func(f Flow, amount float64) {
		f.Amount = 0
		if _, ok := at[f]; !ok {
			at[f] = len(list)
			list = append(list, f)
		}
		list[at[f]].Amount += amount
	}
	unsold := make([]float64, len(c.n.Segments))
	for g, segment := range c.n.Segments {
		unsold[g] = segment.Amount
	}
	for k := range c.deals {
		share := c.lp.Value(c.deals[k].column)
		if share <= 1e-9 {
			continue
		}
		for _, f := range c.deals[k].flows {
			amount := share * f.Amount
			if f.Segment >= 0 {
				eaten := min(amount, unsold[f.Segment])
				unsold[f.Segment] -= eaten
				add(f, eaten)
				amount, f.Segment = amount-eaten, -1
			}
			if f.Way >= 0 && amount > Slack {
				add(f, amount)
			}
		}
	}
	for i := range list { // what the rows of the mix are apart from the use
		f := &list[i]
		if f.Segment < 0 {
			continue
		}
		if amount := c.n.Segments[f.Segment].Amount; unsold[f.Segment] < 1e-5*amount {
			f.Amount *= amount / (amount - unsold[f.Segment])
		}
	}
	c.feed(list, packs)
	return list
}

// feed makes flows no more than packs hold, which those of a mix may pass by a
// hair.
func (c *closer) feed(list []Flow, packs []int) {
	sum := make([]float64, len(c.n.Sources))
	for _, f := range list {
		sum[f.Source] += f.Amount
	}
	for i := range list {
		f := &list[i]
		if most := c.n.supply(f.Source, packs); sum[f.Source] > most {
			f.Amount *= most / sum[f.Source]
		}
	}
}

// guess offers the packs nearest to those of the mix.
func (c *closer) guess() {
	if c.offer != nil {
		c.offer(c.rounded())
	}
}

// rounded is a schedule of the packs nearest to those of the mix; what becomes
// of them is not said.
func (c *closer) rounded() *Schedule {
	stops := len(c.trips)
	s := &Schedule{Packs: make([]int, len(c.n.Offers)), Stay: make([]bool, stops), Kg: make([]float64, stops), Away: make([]bool, stops)}
	packs, _ := c.shares()
	for o, x := range packs {
		s.Packs[o] = int(math.Round(x))
	}
	return s
}
