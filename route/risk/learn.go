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
	return 1 + trust(t.days, seasonCV, dayCV)*(t.used/t.expected-1)
}

// trust is how far so many days' use is believed of the whole season's, 0–1.
func trust(days, seasonCV, dayCV float64) float64 {
	if seasonCV == 0 || days <= 0 {
		return 0
	}
	return days / (days + dayCV*dayCV/(seasonCV*seasonCV))
}
