package search

// slate is what a walk notes down; the chains and marches of a hand share one.
type slate struct {
	cost, next, value []float64
	idle              []float64
	spare             []float64
	tariff            []rate
	buys              []layer // per source: carried away
	stays             []layer // per stop: eaten in port, or what the carrying ends with
	starts            []layer // per stop: eaten in port when more is carried away
	drops             []layer // per stop: bought, but not carried away after all
	ends              []layer // per stop: use unmet, and stock thrown away before the departure
	lands             []layer // per leg: use unmet on it
	carried           [][]bool
	low, high         int       // positions that matter at the stop at hand
	least             int       // none below has anything come to it
	steps             []step    // of a march, per turn and position
	marched           marched   // of a march, per position
	rates             []float64 // of a march, per source and segment
}

// marched is what a march knows of every position.
type marched struct {
	cost  []float64
	upto  []float64 // what a source's units up to it cost without packs
	bare  []float64 // with packs, less upto
	steps []step    // while packs are added
}

// fresh is an empty slate as large.
func (t *slate) fresh() *slate {
	other := &slate{}
	other.match(t)
	return other
}

// match makes room for all that another slate has room for.
func (t *slate) match(o *slate) {
	t.fit(len(o.stays), len(o.buys), len(o.cost))
	t.fitMarch(len(o.marched.cost), len(o.steps), len(o.rates))
}

// fitMarch makes room for so many positions, notes and rates.
func (t *slate) fitMarch(size, steps, rates int) {
	if len(t.marched.cost) < size {
		t.marched = marched{make([]float64, size), make([]float64, size), make([]float64, size), make([]step, size)}
	}
	if len(t.steps) < steps {
		t.steps = make([]step, steps)
	}
	if len(t.rates) < rates {
		t.rates = make([]float64, rates)
	}
}

// layer says how every position is come to: from which other one, and by
// which packs or deal.
type layer struct {
	from  []int32
	self  []int32 // every position
	packs [][mostGoods]int16
}

func newLayer(self []int32, packs bool) layer {
	l := layer{from: make([]int32, len(self)), self: self}
	if packs {
		l.packs = make([][mostGoods]int16, len(self))
	}
	return l
}

func (l layer) cut(size int) layer {
	if l.packs != nil {
		l.packs = l.packs[:size]
	}
	l.from = l.from[:size]
	return l
}

// same makes every position come from itself.
func (l layer) same() {
	copy(l.from, l.self)
	clear(l.packs)
}

// fit makes room for so many stops, sources and positions.
func (t *slate) fit(stops, sources, size int) {
	if len(t.cost) < size || len(t.buys) < sources || len(t.stays) < stops {
		size, sources = max(size, len(t.cost)), max(sources, len(t.buys))
		*t = slate{steps: t.steps, marched: t.marched, rates: t.rates, cost: make([]float64, size), next: make([]float64, size), value: make([]float64, size),
			spare: make([]float64, size), idle: make([]float64, size)}
		self := make([]int32, size)
		for k := range self {
			self[k] = int32(k)
		}
		for range sources {
			t.buys = append(t.buys, newLayer(self, true))
		}
		for range stops {
			t.stays, t.starts = append(t.stays, newLayer(self, true)), append(t.starts, newLayer(self, true))
			t.drops = append(t.drops, newLayer(self, false))
			t.ends, t.lands = append(t.ends, newLayer(self, false)), append(t.lands, newLayer(self, false))
			t.carried = append(t.carried, make([]bool, size))
		}
	}
}

// on is the same chain on another slate.
func (c *chain) on(t *slate) *chain {
	if c == nil {
		return nil
	}
	d := *c
	d.shared, d.slate, d.fits = t, slate{}, nil
	return &d
}

// open takes a part of the shared slate.
func (c *chain) open() {
	t, size := c.shared, c.size
	c.cost, c.next, c.value, c.spare, c.idle = t.cost[:size], t.next[:size], t.value[:size], t.spare[:size], t.idle[:size]
	cut := func(to *[]layer, from []layer, count int) {
		*to = (*to)[:0]
		for _, l := range from[:count] {
			*to = append(*to, l.cut(size))
		}
	}
	cut(&c.buys, t.buys, len(c.n.Sources))
	cut(&c.stays, t.stays, len(c.sold))
	cut(&c.starts, t.starts, len(c.sold))
	cut(&c.drops, t.drops, len(c.sold))
	cut(&c.ends, t.ends, len(c.sold))
	cut(&c.lands, t.lands, len(c.sold))
	c.carried = c.carried[:0]
	for _, x := range t.carried {
		c.carried = append(c.carried, x[:size])
	}
}
