package scale

import (
	"math"
	"slices"

	"hardtack/pricing/item"
	"hardtack/pricing/measure"
)

const (
	// shy is the part of an amount nobody misses when packs come out short of it.
	shy = 0.02
	// packBother weighs one more pack to carry against what is left over, as a
	// part of the usual pack.
	packBother = 0.05
)

// pack covers an amount in whole packs with little left over and few packs:
// some of one size, and the rest in packs of another.
func pack(it item.Item, amount float64) []Packs {
	if amount <= 0 || len(it.Packs) == 0 {
		return nil
	}
	enough, bother := amount*(1-shy), packBother*it.ListPack.Units()
	best, cost := []Packs(nil), math.Inf(1)
	for _, big := range it.Packs {
		all := int(math.Ceil(enough/big.Units() - 1e-9))
		for n := max(0, all-2); n <= all; n++ {
			for _, small := range it.Packs {
				m := max(0, int(math.Ceil((enough-float64(n)*big.Units())/small.Units()-1e-9)))
				c := float64(n)*(big.Units()+bother) + float64(m)*(small.Units()+bother)
				if c < cost-1e-12 {
					best, cost = counts(it, big, n, small, m), c
				}
			}
		}
	}
	return best
}

func counts(it item.Item, big measure.Quantity, n int, small measure.Quantity, m int) []Packs {
	if big == small {
		n, m = n+m, 0
	}
	out := []Packs{{n, big, it.PackLabel(big)}, {m, small, it.PackLabel(small)}}
	out = slices.DeleteFunc(out, func(p Packs) bool { return p.Count == 0 })
	slices.SortFunc(out, func(a, b Packs) int { return int(b.Quantity - a.Quantity) })
	return out
}

// packs covers the parts of a demand in whole packs: each for itself, and then
// with as many packs fewer as the need as a whole does not miss, first of what
// came out most above its amount.
func (d *demand) packs() [][]Packs {
	out := make([][]Packs, len(d.parts))
	over := 0.0 // need-units bought above what is needed
	for k, p := range d.parts {
		out[k] = p.pack(p.amount / p.yield)
		over += p.over(out[k])
	}
	if d.need.Class == item.Safety {
		return out
	}
	for {
		k, fewer := d.fewer(out, over)
		if k < 0 {
			return out
		}
		over -= d.parts[k].over(out[k]) - d.parts[k].over(fewer)
		out[k] = fewer
	}
}

// over is how many need-units the packs hold above the part's amount.
func (p *part) over(packs []Packs) float64 { return total(packs).Units()*p.yield - p.amount }

// fewer finds the part to buy a pack less of, and its packs then; -1 for none.
func (d *demand) fewer(packs [][]Packs, over float64) (int, []Packs) {
	best, most := -1, 0.0
	var out []Packs
	for k, p := range d.parts {
		least := smallest(p.item)
		if p.amount <= 0 || least <= 0 || least*p.yield > over || p.over(packs[k])/p.amount <= most {
			continue
		}
		less := p.pack(total(packs[k]).Units() - least)
		if total(less) < total(packs[k]) && p.over(less) >= (leastShare-1)*p.amount {
			best, most, out = k, p.over(packs[k])/p.amount, less
		}
	}
	return best, out
}

// leastShare is the part of its amount an item keeps when others of its need
// come out above theirs.
const leastShare = 0.6

func smallest(it item.Item) float64 {
	if len(it.Packs) == 0 {
		return 0
	}
	return it.Packs[0].Units()
}

// pack is as pack, but tank water comes by the litre, and gas in cylinders of
// one size. Of water and gas nothing may be short.
func (p *part) pack(amount float64) []Packs {
	switch {
	case amount <= 0:
		return nil
	case p.stowed.place == Tank:
		q := measure.Of(math.Ceil(amount/hoseStep) * hoseStep)
		return []Packs{{1, q, q.Format(p.item.Unit) + " from the hose"}}
	case p.item.Category == "gas":
		return cylinders(p.item, amount)
	}
	if p.item.Category == "water" {
		amount /= 1 - shy
	}
	return pack(p.item, amount)
}

const hoseStep = 5 // litres

func cylinders(it item.Item, amount float64) []Packs {
	var best []Packs
	cost := math.Inf(1)
	for _, size := range it.Packs {
		n := math.Ceil(amount/size.Units() - 1e-9)
		if c := n * (size.Units() + packBother*it.ListPack.Units()); c < cost {
			best, cost = []Packs{{int(n), size, it.PackLabel(size)}}, c
		}
	}
	return best
}

// nearest is the amount in usual packs, up or down.
func nearest(it item.Item, amount float64) float64 {
	p := it.ListPack.Units()
	if p <= 0 {
		return amount
	}
	return p * math.Floor(amount/p+0.5)
}

func total(p []Packs) measure.Quantity {
	var sum measure.Quantity
	for _, x := range p {
		sum += measure.Quantity(x.Count) * x.Quantity
	}
	return sum
}
