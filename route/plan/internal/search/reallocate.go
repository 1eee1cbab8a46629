package search

// reallocate makes schedules of the same packs at the prices, shared out in
// every order, until none helps.
func (x *mixer) reallocate() {
	again := make([]*sharing, len(x.needs))
	for round := 0; round < 12 && !x.work.cancelled(); round++ {
		x.solve(2000)
		x.reprice()
		if x.shareOut(again) < 1e-6*x.lp.Cost() {
			break
		}
	}
	x.solve(2000)
}

// shareOut adds what the packs settled on give when shared out in every order,
// and returns what that promises to gain. Programs go on from where they stood.
func (x *mixer) shareOut(again []*sharing) float64 {
	shared := make([][modes + 1]*Schedule, len(x.needs))
	x.each(len(x.needs), func(t *seeker, k int) {
		i := x.needs[k]
		for mode := range modes {
			s := x.chosen[k].clone()
			s.Mode = mode
			t.value(i, s)
			if x.promise(k, s) > 1e-9 {
				shared[k][mode] = s
			}
		}
		if x.hasty || !t.m.Needs[i].several() {
			return
		}
		var s *Schedule
		if s, again[k] = t.shareFrom(again[k], i, x.chosen[k]); x.promise(k, s) > 1e-9 {
			shared[k][modes] = s
		}
	})
	gained := 0.0
	for k := range x.needs {
		for _, s := range shared[k] {
			if s != nil {
				gained += x.add(k, s)
			}
		}
	}
	return gained
}
