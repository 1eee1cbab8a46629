package risk

// tally is the use counted so far against what was expected of it.
type tally struct{ days, expected, used float64 }

func (t *tally) add(expected, used, days float64) {
	t.days += days
	t.expected += expected * days
	t.used += used * days
}

// factor is what the skipper believes of a need's use over the season, as a
// factor on the brief's: the share counted so far, weighed by how far it can
// be trusted. One day's use varies by dayCV, the season's by seasonCV, so that
// so many days count z = days / (days + dayCV²/seasonCV²).
//
// Credibility: Bühlmann 1967, ASTIN Bulletin 4:199–207; from memory.
func (t tally) factor(seasonCV, dayCV float64) float64 {
	if seasonCV == 0 || t.expected == 0 {
		return 1
	}
	k := dayCV * dayCV / (seasonCV * seasonCV)
	z := t.days / (t.days + k)
	return 1 + z*(t.used/t.expected-1)
}
