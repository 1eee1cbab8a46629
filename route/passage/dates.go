package passage

import (
	"math"
	"strconv"

	"hardtack/pricing/calendar"
	"hardtack/pricing/wording"
	"hardtack/route"
)

const (
	// tooFast is how much shorter than its median a passage may be planned.
	tooFast = 0.5
	// slackDays is how much longer than its median before a word is said.
	slackDays = 1.5
)

// dates settles arrivals and departures in route order.
func (s *settler) dates(today calendar.Day) error {
	s.it.Start = start(s.voyage.Stops[0], today)
	if !today.IsZero() && s.it.Start < today {
		s.note("passage.begun", wording.Count(int(today-s.it.Start)), wording.Day(s.it.Start))
	}
	arrive := 0.0
	for i := range s.it.Calls {
		c := &s.it.Calls[i]
		c.Arrive = arrive
		depart, err := s.departure(i, arrive)
		if err != nil {
			return err
		}
		c.Depart = depart
		s.shopDays(i)
		if i == len(s.it.Ways) {
			break
		}
		if arrive, err = s.arrival(i+1, depart); err != nil {
			return err
		}
		s.times(i, arrive-depart)
	}
	return nil
}

func start(first route.Stop, today calendar.Day) calendar.Day {
	switch {
	case !first.Arrive.IsZero():
		return first.Arrive
	case !first.Depart.IsZero():
		return first.Depart - calendar.Day(math.Ceil(first.StayDays))
	}
	return today
}

func (s *settler) offset(d calendar.Day) float64 { return float64(d - s.it.Start) }

func (s *settler) day(offset float64) calendar.Day {
	return s.it.Start + calendar.Day(math.Floor(offset))
}

// departure from stop i, reached at arrive. A day said may be the day of
// arrival itself. With neither day nor stay said, the stay fills the time to
// the next arrival.
func (s *settler) departure(i int, arrive float64) (float64, error) {
	stop := s.voyage.Stops[i]
	if !stop.Depart.IsZero() {
		if stop.Depart < s.day(arrive) {
			return 0, wrong(i, "%w", wording.Fail("fault.left_early", wording.Text(s.ports[i].Name), wording.Day(stop.Depart), wording.Day(s.day(arrive))))
		}
		return max(s.offset(stop.Depart), arrive), nil
	}
	if i < len(s.it.Ways) && stop.StayDays == 0 {
		if next := s.voyage.Stops[i+1].Arrive; !next.IsZero() {
			return max(arrive, s.offset(next)-s.sail[i]), nil
		}
	}
	return arrive + stop.StayDays, nil
}

// arrival at stop i, the port before left at depart.
func (s *settler) arrival(i int, depart float64) (float64, error) {
	stop, sail := s.voyage.Stops[i], s.sail[i-1]
	if stop.Arrive.IsZero() {
		return depart + sail, nil
	}
	at, usual := s.offset(stop.Arrive), depart+sail
	switch {
	case stop.Arrive < s.day(depart):
		return 0, wrong(i, "%w", wording.Fail("fault.reached_early", wording.Text(s.ports[i].Name), wording.Day(stop.Arrive), wording.Text(s.ports[i-1].Name), wording.Day(s.day(depart))))
	case at+1 < depart+tooFast*sail:
		return 0, wrong(i, "%w", wording.Fail("fault.too_fast", wording.Text(s.ports[i].Name), wording.Day(stop.Arrive),
			wording.Text(s.ports[i-1].Name), wording.Day(s.day(depart)), wording.Number(sail, 1)))
	case usual >= at+1:
		early := max(at+0.5, (depart+at+1)/2) // noon, or later when the day is the day of departure
		s.note("passage.fast", s.legFact(i-1), wording.Number(early-depart, 1), wording.Number(sail, 1))
		return early, nil
	case usual >= at:
		return usual, nil
	case at > usual+slackDays:
		s.note("passage.slow", s.legFact(i-1), wording.Number(at-depart, 1), wording.Number(sail, 1))
	}
	return at, nil
}

// times sets the spread of leg i. A passage planned shorter than its usual
// time keeps the long end of the usual one, so that its reserve grows.
func (s *settler) times(i int, planned float64) {
	w := &s.it.Ways[i]
	w.MedianDays = planned
	w.Days90 = Long90(max(planned, s.sail[i]), w.Ocean)
}

func (s *settler) shopDays(i int) {
	c := s.it.Calls[i]
	for _, d := range c.ShopDays {
		if d < s.day(c.Arrive) || d > s.day(c.Depart) {
			s.note("passage.shop_day", wording.Text(strconv.Itoa(i+1)), wording.Text(s.ports[i].Name), wording.Day(d))
		}
	}
}
