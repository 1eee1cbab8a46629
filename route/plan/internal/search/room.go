package search

// grab takes what there is of a flow and fits from supplies and room.
func (a *allocator) grab(n *Need, f Flow) float64 {
	src := &n.Sources[f.Source]
	f.Amount = min(f.Amount, a.left[f.Source])
	if f.Way >= 0 && a.load != nil {
		if src.Aboard < 0 && f.Amount*src.Kg > a.lift[src.Stop] {
			f.Amount = max(0, a.lift[src.Stop]/src.Kg)
		}
		w := src.Ways[f.Way]
		from, to, payload := src.Stop, max(src.Stop, f.To+1), a.m.Payload()
		if !a.ample[w.Room] {
			f.Amount = fitting(a.load.free[w.Room][from:to], w.Litres, f.Amount)
		}
		if !a.ample[payload] {
			f.Amount = fitting(a.load.free[payload][from:to], src.Kg, f.Amount)
		}
	}
	if f.Amount <= Slack {
		return 0
	}
	a.left[f.Source] -= f.Amount
	if f.Way >= 0 && a.load != nil {
		a.take(src, f)
		if src.Aboard < 0 {
			a.lift[src.Stop] -= f.Amount * src.Kg
		}
	}
	return f.Amount
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

// take takes up the room of a flow.
func (a *allocator) take(s *Source, f Flow) {
	w := s.Ways[f.Way]
	if !a.ample[w.Room] {
		occupy(a.load.free[w.Room][s.Stop:max(s.Stop, f.To+1)], f.Amount*w.Litres)
	}
	if payload := a.m.Payload(); !a.ample[payload] {
		occupy(a.load.free[payload][s.Stop:max(s.Stop, f.To+1)], f.Amount*s.Kg)
	}
}

// giveBack frees the room taken.
func (a *allocator) giveBack() {
	if a.load != nil {
		copy(a.load.all, a.kept)
	}
}
