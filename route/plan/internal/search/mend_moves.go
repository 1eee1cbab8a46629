package search

import (
	"cmp"
	"encoding/binary"
	"slices"
)

// list lists the moves that may gain, single ones or pairs, those first that are
// likely to.
func (t *mending) list() {
	t.sharing.worths(t.near)
	t.look()
	t.sharing.lp.Save(&t.stood)
	t.moves, t.next = t.moves[:0], 0
	for a := range t.changes {
		c := &t.changes[a]
		if c.near > t.enough() {
			t.moves = append(t.moves, move{c, nil, c.near, c.far})
		}
		for b := a + 1; b < len(t.changes) && t.pairs; b++ {
			if d := &t.changes[b]; c.source != d.source && c.near+d.near > t.enough() {
				t.moves = append(t.moves, move{c, d, c.near + d.near, c.far + d.far})
			}
		}
	}
	slices.SortStableFunc(t.moves, func(a, b move) int { return cmp.Compare(b.far, a.far) })
}

// key tells moves apart.
func (m move) key() string {
	var key []byte
	for _, c := range [2]*change{m.first, m.second} {
		if c == nil {
			break
		}
		key = binary.AppendUvarint(key, uint64(c.source))
		for _, packs := range c.packs {
			key = binary.AppendUvarint(key, uint64(packs))
		}
		if c.carried {
			key = append(key, '+')
		}
		key = append(key, ';')
	}
	return string(key)
}

// look lists what sources may do instead of what they do and still be part of a
// schedule that costs less: at the far worths none of them loses more than the cost
// at hand is above the bound.
func (t *mending) look() {
	t.changes = t.changes[:0]
	for i := range t.far.sources {
		if t.n.Sources[i].Aboard < 0 {
			t.lookAt(i)
		}
	}
	slices.SortStableFunc(t.changes, func(a, b change) int { return cmp.Compare(b.far, a.far) })
	t.changes = t.changes[:min(len(t.changes), mostChanges)]
}

func (t *mending) lookAt(i int) {
	o := &t.far.sources[i]
	t.far.market(o)
	t.far.add(false)
	most, _ := t.far.buy(o)
	t.far.add(true)
	if carried, _ := t.far.buy(o); carried-o.fixed > most {
		most = carried - o.fixed
	}
	from, now := len(t.changes), t.bought(i)
	have := t.far.income(o, now, t.carried[i])
	for _, packs := range t.steps(i, now) {
		for _, carried := range [2]bool{false, true} {
			if carried == t.carried[i] && slices.Equal(packs, now) || carried && (len(o.source.Ways) == 0 || t.prices.closed[o.source.Stop]) {
				continue
			}
			if earns := t.far.income(o, packs, carried); earns > most-(t.value-t.bound) {
				t.changes = append(t.changes, change{source: i, packs: packs, carried: carried, far: earns - have})
			}
		}
	}
	if len(t.changes) == from {
		return
	}
	o = &t.near.sources[i]
	t.near.market(o)
	have = t.near.income(o, now, t.carried[i])
	for k := from; k < len(t.changes); k++ {
		c := &t.changes[k]
		c.near = t.near.income(o, c.packs, c.carried) - have
	}
}

// bought are the packs of a source, per offer of it.
func (t *mending) bought(i int) (packs []int) {
	for _, o := range t.n.Sources[i].Offers {
		packs = append(packs, t.packs[o])
	}
	return packs
}

// steps are the packs a source may buy: as many as now, as few as it may, or one
// more or less of an offer.
func (t *mending) steps(i int, now []int) [][]int {
	var few []int
	for _, o := range t.n.Sources[i].Offers {
		few = append(few, t.n.Offers[o].Min)
	}
	list := [][]int{now}
	if !slices.Equal(now, few) {
		list = append(list, few)
	}
	for j, o := range t.n.Sources[i].Offers {
		offer := &t.n.Offers[o]
		for _, step := range [2]int{-1, 1} {
			if x := now[j] + step; x >= offer.Min && x <= offer.Limit {
				packs := slices.Clone(now)
				packs[j] = x
				list = append(list, packs)
			}
		}
	}
	return list
}

// income is what an outlet whose market was listed last earns with packs.
func (h *hull) income(o *outlet, packs []int, carried bool) float64 {
	supply, spent := 0.0, 0.0
	for j, at := range o.source.Offers {
		supply += float64(packs[j]) * h.n.Offers[at].Size
		spent += float64(packs[j]) * h.n.Offers[at].Price
	}
	if carried {
		spent += o.fixed
	}
	h.add(carried)
	return h.earns(supply) - spent
}

// carried says of which sources something is carried away.
func (s *Schedule) carried(n *Need) []bool {
	carried := make([]bool, len(n.Sources))
	for _, flow := range s.Flows {
		carried[flow.Source] = carried[flow.Source] || flow.Way >= 0
	}
	return carried
}
