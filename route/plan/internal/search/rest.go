package search

// rest is for how many rounds a need is not looked at as closely again, the more
// of them the more often nothing came of it.
type rest struct{ rounds, last int }

const mostRested = 7 // rounds

// over says whether it is, and lets a round pass.
func (r *rest) over() bool {
	r.rounds--
	return r.rounds < 0
}

// after begins the next one.
func (r *rest) after(gained bool) {
	r.last = min(2*r.last+1, mostRested)
	if gained {
		r.last = 0
	}
	r.rounds = r.last
}
