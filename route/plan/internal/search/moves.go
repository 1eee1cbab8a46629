package search

// packsUpAndDown buys a pack more or less.
func (t *attempt) packsUpAndDown() bool {
	better := false
	n := t.m.Needs[t.need]
	for o := range n.Offers {
		for t.best.Packs[o] > 0 && t.spare > 0.3*n.Offers[o].Size && t.step(o, -1) && t.consider() {
			better = true
		}
	}
	for _, o := range t.likely {
		for t.best.Missing+t.best.Reserve > Slack && t.pays(-1, 0, o, 1) && t.step(o, 1) && t.consider() {
			better = true
		}
	}
	return better
}

// step puts best with one offer changed into try.
func (t *attempt) step(offer, step int) bool {
	o := &t.m.Needs[t.need].Offers[offer]
	packs := t.best.Packs[offer] + step
	if packs < o.Min || packs > o.Limit {
		return false
	}
	t.reset()
	t.try.Packs[offer] = packs
	return true
}

// modes tries other orders of sharing out.
func (t *attempt) modes() bool {
	better := false
	for mode := range modes {
		if mode == t.best.Mode {
			continue
		}
		t.reset()
		t.try.Mode = mode
		better = t.consider() || better
	}
	return better
}

// stays tries not to carry away what is bought at a stop, or again to.
func (t *attempt) stays() bool {
	better := false
	for stop := range t.best.Stay {
		if t.best.Stay[stop] || t.best.Away[stop] {
			t.reset()
			t.try.Stay[stop] = !t.best.Stay[stop]
			better = t.consider() || better
		}
	}
	return better
}

// shift buys elsewhere, or in another size, what a pack of one offer holds,
// or what all of them hold.
func (t *attempt) shift() bool {
	n := t.m.Needs[t.need]
	better := false
	for from := range n.Offers {
		for _, to := range t.likely {
			if from == to || t.best.Packs[from] <= n.Offers[from].Min {
				continue
			}
			if t.move(from, to, 1) || t.move(from, to, t.best.Packs[from]-n.Offers[from].Min) {
				better = true
			}
		}
	}
	return better
}

func (t *attempt) move(from, to, packs int) bool {
	n := t.m.Needs[t.need]
	if packs < 1 || packs == 1 && n.Offers[from].Size < n.Offers[to].Size/2 {
		return false
	}
	amount := float64(packs) * n.Offers[from].Size
	low := int(amount / n.Offers[to].Size)
	for _, more := range [2]int{low, low + 1} {
		if more < 1 || t.best.Packs[to]+more > n.Offers[to].Limit || !t.pays(from, packs, to, more) {
			continue
		}
		t.reset()
		t.try.Packs[from] -= packs
		t.try.Packs[to] += more
		if t.consider() {
			return true
		}
	}
	return false
}
