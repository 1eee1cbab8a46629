package usage

import (
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/inventory"
	"hardtack/route/logbook"
	"hardtack/route/vessel"
)

// Period is what is known of the time up to a count.
type Period struct {
	Crew  vessel.Crew
	Day   calendar.Day            // of the count
	Since map[string]calendar.Day // by need: the day it was counted before; without one nothing is learned
	Moves []inventory.Move        // of the stores book, at least since then, without the count's own
	Count []inventory.Difference  // what the count found
	Left  []pricing.ItemID        // items aboard that were not counted
	Log   []logbook.Entry         // guests aboard, days eaten ashore
}

// Records are what the count says of each need: used is what was told as used
// and what is gone untold, in need-units. Where nothing was left the thing ran
// out, whether anybody said so or not. Needs of the boat rather than of persons
// are not learned here.
func (p Period) Records(cat *item.Catalogue) []Record {
	var out []Record
	for _, n := range cat.Needs {
		from, ok := p.Since[n.ID]
		if !ok || from >= p.Day || p.uncounted(n) {
			continue
		}
		r := Record{Crew: p.Crew.ID, Need: n.ID, From: from, To: p.Day, PersonDays: p.exposure(n, from)}
		counted, left := false, measure.Quantity(0)
		for _, d := range p.Count {
			if a, ok := n.Alternate(d.Item); ok {
				counted = true
				left += d.Counted
				r.Used += d.Used.Units() * a.Yield
				r.RanOut = r.RanOut || d.Mark == inventory.RanOut
			}
		}
		for _, m := range p.Moves {
			if a, ok := n.Alternate(m.Item); ok && m.Kind == inventory.Used && m.Day > from && m.Day <= p.Day && m.For == inventory.Eaten {
				r.Used += m.Quantity.Units() * a.Yield
			}
		}
		r.RanOut = counted && left == 0 && (r.RanOut || r.Used > 0)
		if counted && r.PersonDays > 0 {
			out = append(out, r)
		}
	}
	return out
}

func (p Period) uncounted(n item.Need) bool {
	for _, id := range p.Left {
		if _, ok := n.Alternate(id); ok {
			return true
		}
	}
	return false
}

// exposure is person-days weighted by appetite, guests counted as adults; of a
// need of the boat the days on which anybody was aboard.
func (p Period) exposure(n item.Need, from calendar.Day) float64 {
	if n.Appetite == item.Vessel {
		return p.manned(from)
	}
	days := p.Crew.PersonDays(from, 0, float64(p.Day-from), func(x vessel.Person) float64 { return x.Factor(n.Appetite) })
	if n.Appetite == item.Food || n.Appetite == item.Coffee || n.Appetite == item.Alcohol || n.Appetite == item.Person {
		days += logbook.Sum(p.Log, from+1, p.Day, logbook.Guests)
	}
	if n.Appetite == item.Food {
		days -= logbook.Sum(p.Log, from+1, p.Day, logbook.Ashore)
	}
	return max(0, days)
}

func (p Period) manned(from calendar.Day) float64 {
	days := 0.0
	for d := from; d < p.Day; d++ {
		if p.Crew.PersonDays(d, 0, 1, vessel.Heads) > 0 {
			days++
		}
	}
	return days
}

// Baseline is the day each need was last counted: the latest count with an item
// of it, else the day the first of it was entered, when there was none before.
func Baseline(cat *item.Catalogue, counted map[pricing.ItemID]calendar.Day, moves []inventory.Move) map[string]calendar.Day {
	out := map[string]calendar.Day{}
	for _, n := range cat.Needs {
		for _, a := range n.Alternates {
			if d, ok := counted[a.Item]; ok && d > out[n.ID] {
				out[n.ID] = d
			}
		}
		if out[n.ID].IsZero() {
			for _, m := range moves {
				if _, ok := n.Alternate(m.Item); ok && m.Kind.In() && (out[n.ID].IsZero() || m.Day < out[n.ID]) {
					out[n.ID] = m.Day
				}
			}
		}
		if out[n.ID].IsZero() {
			delete(out, n.ID)
		}
	}
	return out
}
