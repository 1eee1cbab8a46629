package search

// grab takes what is left of a flow over stores and fits, from supplies and
// room.
func (a *allocator) grab(source *Source, f Flow) float64 {
	amount := f.Amount
	if left := a.left[f.Source]; left < amount {
		amount = left
	}
	if a.load != nil {
		amount = a.roomFor(source, f, amount)
	}
	if amount <= Slack {
		return 0
	}
	a.left[f.Source] -= amount
	if a.load != nil {
		a.take(source, f, amount)
	}
	return amount
}

// roomFor is how much of an amount of a flow finds room.
func (a *allocator) roomFor(source *Source, f Flow, amount float64) float64 {
	if source.Aboard < 0 && amount*source.Kg > a.lift[source.Stop] {
		amount = max(0, a.lift[source.Stop]/source.Kg)
	}
	w, from, to := &source.Ways[f.Way], source.Stop, max(source.Stop, f.To+1)
	if !a.ample[w.Room] {
		amount = fitting(a.load.free[w.Room][from:to], w.Litres, amount)
	}
	if payload := len(a.ample) - 1; !a.ample[payload] {
		amount = fitting(a.load.free[payload][from:to], source.Kg, amount)
	}
	return amount
}

// take takes up the room of so much of a flow.
func (a *allocator) take(source *Source, f Flow, amount float64) {
	w, from, to := &source.Ways[f.Way], source.Stop, max(source.Stop, f.To+1)
	if !a.ample[w.Room] {
		occupy(a.load.free[w.Room][from:to], amount*w.Litres)
	}
	if payload := len(a.ample) - 1; !a.ample[payload] {
		occupy(a.load.free[payload][from:to], amount*source.Kg)
	}
	if source.Aboard < 0 {
		a.lift[source.Stop] -= amount * source.Kg
	}
}

// limits sets what may still be carried away.
func (a *allocator) limits() {
	if a.load == nil {
		return
	}
	for stop := range a.lift {
		a.lift[stop] = a.load.lift[stop] - a.load.kg[stop]
	}
}

// compare finds the rooms in which nothing need be counted, since all that is
// left finds room there, and keeps in mind what room there is.
func (a *allocator) compare(n *Need) {
	if a.load == nil {
		return
	}
	copy(a.kept, a.load.all)
	clear(a.wanted)
	payload := a.m.Payload()
	for _, i := range a.turn {
		s := &n.Sources[i]
		a.wanted[payload] += a.left[i] * s.Kg
		for _, w := range s.Ways {
			a.wanted[w.Room] += a.left[i] * w.Litres
		}
	}
	for r, wanted := range a.wanted {
		a.ample[r] = true
		for _, free := range a.load.free[r] {
			if free < wanted {
				a.ample[r] = false
				break
			}
		}
	}
}

// crowd makes every room count, whatever is left, and keeps in mind what room
// there is.
func (a *allocator) crowd() {
	if a.load != nil {
		copy(a.kept, a.load.all)
		clear(a.ample)
	}
}

// giveBack frees the room taken.
func (a *allocator) giveBack() {
	if a.load != nil {
		copy(a.load.all, a.kept)
	}
}
