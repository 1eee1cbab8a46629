package simplex

// mostLikely is how many columns are looked at again before all are.
const mostLikely = 32

// entering is the column that gains most per unit among those that gained most
// when all were last looked at, and what it gains; -1 when none gains more
// than least.
func (l *LP) entering(least float64) (best int, gain float64) {
	best, gain = -1, least
	kept := l.likely[:0]
	for _, c := range l.likely {
		if l.columns[c].at >= 0 || l.columns[c].banned {
			continue
		}
		r := l.Reduced(c)
		if r >= least {
			continue
		}
		kept = append(kept, c)
		if r < gain {
			best, gain = c, r
		}
	}
	if l.likely = kept; best >= 0 {
		return best, gain
	}
	return l.enteringOfAll(least)
}

// enteringOfAll looks at all columns and keeps the likely ones.
func (l *LP) enteringOfAll(least float64) (best int, gain float64) {
	best, gain = -1, least
	weakest, at := 0.0, 0 // of the likely ones
	gains := make([]float64, 0, mostLikely)
	l.reduceAll()
	for c, r := range l.reduced {
		if r >= least || l.columns[c].at >= 0 || l.columns[c].banned {
			continue
		}
		if r < gain {
			best, gain = c, r
		}
		switch {
		case len(gains) < mostLikely:
			gains, l.likely = append(gains, r), append(l.likely, c)
		case r < weakest:
			gains[at], l.likely[at] = r, c
		default:
			continue
		}
		if len(gains) == mostLikely {
			at = 0
			for k, g := range gains {
				if g > gains[at] {
					at = k
				}
			}
			weakest = gains[at]
		}
	}
	return best, gain
}
