package plan

import (
	"math"
	"slices"

	"hardtack/route/plan/internal/search"
)

// compiled is a brief and the search model of it, need for need.
type compiled struct {
	brief Brief
	model *search.Model
	rooms map[string]int
}

func compile(b Brief) *compiled {
	c := &compiled{brief: b, model: &search.Model{Stops: len(b.Stops)}, rooms: map[string]int{}}
	for i, s := range b.Stowage.Spaces {
		c.rooms[s.ID] = i
		c.model.Room = append(c.model.Room, s.Litres)
	}
	payload := math.Inf(1)
	if b.Stowage.PayloadKg != nil {
		payload = *b.Stowage.PayloadKg
	}
	c.model.Room = append(c.model.Room, payload)
	for _, s := range b.Stops {
		carry := math.Inf(1)
		if s.TripCarryKg != nil {
			carry = *s.TripCarryKg
		}
		c.model.TripCost = append(c.model.TripCost, s.TripCost)
		c.model.Carry = append(c.model.Carry, carry)
	}
	for i := range b.Needs {
		c.model.Needs = append(c.model.Needs, c.need(&b.Needs[i]))
	}
	return c
}

func (c *compiled) need(n *Need) *search.Need {
	m := &search.Need{Miss: n.MissingCost, ReserveMiss: n.ReserveMissingCost}
	for leg, use := range n.UseAtSea {
		stop := c.brief.Stops[leg]
		due := stop.ReserveDays * use
		if n.Reserve != nil {
			due = n.Reserve[leg]
		}
		m.Due = append(m.Due, due)
		m.Until = append(m.Until, c.brief.Stops[leg+1].Arrive+stop.ReserveDays)
	}
	for i := range n.Items {
		c.sources(m, i, &n.Items[i])
	}
	m.Segments = c.segments(n, m.Sources)
	return m
}

// sources adds what is aboard of an item, and the item at each stop where it
// is sold.
func (c *compiled) sources(m *search.Need, index int, it *Item) {
	add := func(stop int) *search.Source {
		m.Sources = append(m.Sources, search.Source{Item: index, Stop: stop, Aboard: -1, Line: it.LineCost,
			Taste: it.TasteCost / it.Yield, Kg: it.Kg / it.Yield, Last: c.last(it, stop)})
		return &m.Sources[len(m.Sources)-1]
	}
	for i, l := range it.Aboard {
		s := add(0)
		s.Aboard, s.Held = i, l.Amount*it.Yield
		s.Ways = []search.Way{{Room: c.rooms[l.Space], Litres: it.Litres / it.Yield, Expires: l.Expires}}
	}
	for stop := range c.brief.Stops {
		var s *search.Source
		for _, o := range it.Offers {
			if o.Stop != stop {
				continue
			}
			if s == nil {
				s = add(stop)
				s.Ways = c.ways(it, stop)
			}
			s.Offers = append(s.Offers, len(m.Offers))
			m.Offers = append(m.Offers, offerOf(o, len(m.Sources)-1, it.Yield))
		}
	}
}

// last is the last period a lot of a stop can serve before it is surrendered.
func (c *compiled) last(it *Item, stop int) int {
	last := 2*len(c.brief.Stops) - 2
	for _, s := range it.SurrenderedAt {
		if s > stop {
			last = min(last, 2*s-1)
		}
	}
	return last
}

func (c *compiled) ways(it *Item, stop int) []search.Way {
	if stop == len(c.brief.Stops)-1 {
		return nil
	}
	var ways []search.Way
	for _, k := range it.Keeps {
		ways = append(ways, search.Way{Room: c.rooms[k.Space], Litres: it.Litres / it.Yield,
			Expires: c.brief.Stops[stop].Depart + k.Days[stop]})
	}
	return ways
}

func offerOf(o Offer, source int, yield float64) search.Offer {
	limit := search.MaxPacks
	if o.Limit != nil {
		limit = *o.Limit
	}
	return search.Offer{Source: source, Size: o.Pack * yield, Price: o.Price, Min: o.Min, Limit: limit}
}

// segments cuts every period with use wherever a lot can expire in it.
func (c *compiled) segments(n *Need, sources []search.Source) []search.Segment {
	var moments []float64
	for _, s := range sources {
		for _, w := range s.Ways {
			moments = append(moments, w.Expires)
		}
	}
	slices.Sort(moments)
	var segments []search.Segment
	for p := 0; p < 2*len(c.brief.Stops)-1; p++ {
		start, end, use := c.period(n, p)
		cut := func(to float64) {
			if amount := use * (to - start); amount > 0 {
				segments = append(segments, search.Segment{Period: p, End: to, Amount: amount})
			}
			start = to
		}
		for _, at := range moments {
			if at > start+momentSlack && at < end-momentSlack {
				cut(at)
			}
		}
		cut(end)
	}
	return segments
}

// period is when a period begins and ends, and a need's use per day in it.
func (c *compiled) period(n *Need, p int) (start, end, use float64) {
	s := p / 2
	if p%2 == 0 {
		return c.brief.Stops[s].Arrive, c.brief.Stops[s].Depart, n.UseInPort[s]
	}
	return c.brief.Stops[s].Depart, c.brief.Stops[s+1].Arrive, n.UseAtSea[s]
}
