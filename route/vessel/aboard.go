package vessel

import (
	"math"

	"hardtack/pricing/calendar"
)

// DaysAboard is how many of the days between from and to (days since start)
// the person is aboard. A span counts both of its days whole, so that on the
// day of a crew change those who leave and those who join both eat. Spans that
// overlap count once.
func (p Person) DaysAboard(start calendar.Day, from, to float64) float64 {
	if len(p.Aboard) == 0 {
		return max(0, to-from)
	}
	sum := 0.0
	for at := from; at < to; {
		end, in := p.until(start, at)
		end = min(end, to)
		if in {
			sum += end - at
		}
		at = end
	}
	return sum
}

// until says whether the person is aboard at a moment and until when this
// does not change; +Inf when it never does.
func (p Person) until(start calendar.Day, at float64) (end float64, in bool) {
	end = math.Inf(1)
	for _, s := range p.Aboard {
		lo, hi := math.Inf(-1), math.Inf(1)
		if !s.From.IsZero() {
			lo = float64(s.From - start)
		}
		if !s.To.IsZero() {
			hi = float64(s.To-start) + 1
		}
		for _, edge := range []float64{lo, hi} {
			if edge > at {
				end = min(end, edge)
			}
		}
		in = in || (lo <= at && at < hi)
	}
	return end, in
}

// PersonDays is the sum of factor(person) × days aboard between from and to.
func (c Crew) PersonDays(start calendar.Day, from, to float64, factor func(Person) float64) float64 {
	sum := 0.0
	for _, p := range c.Persons {
		if days := p.DaysAboard(start, from, to); days > 0 {
			sum += days * factor(p)
		}
	}
	return sum
}

// Heads counts each person as one.
func Heads(Person) float64 { return 1 }
