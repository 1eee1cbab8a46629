package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"hardtack/route/plan/internal/search"
)

// hold reads a plan that keeps the rules of its brief back into schedules.
func (c *compiled) hold(p Plan) *search.Held {
	r := &reader{compiled: c, bought: map[string]int{},
		purchases: map[string][]Purchase{}, draws: map[string][]Draw{}, discards: map[string][]Discard{}}
	for _, x := range p.Purchases {
		r.bought[x.ID] = x.Stop
		r.purchases[x.Need] = append(r.purchases[x.Need], x)
	}
	for _, x := range p.Draws {
		r.draws[x.Need] = append(r.draws[x.Need], x)
	}
	for _, x := range p.Discards {
		r.discards[x.Item] = append(r.discards[x.Item], x)
	}
	for i := range c.brief.Needs {
		r.schedules = append(r.schedules, r.need(i))
	}
	return search.Hold(c.model, r.schedules)
}

// reader turns a plan into schedules.
type reader struct {
	*compiled
	bought    map[string]int        // the stop of every purchase
	purchases map[string][]Purchase // by need
	draws     map[string][]Draw     // by need
	discards  map[string][]Discard  // by item
	schedules []*search.Schedule
}

// portion is an amount of a source in need-units that something happens to.
type portion struct {
	source, way int
	amount      float64
	expires     float64
}

func (r *reader) need(i int) *search.Schedule {
	n, m := &r.brief.Needs[i], r.model.Needs[i]
	s := &search.Schedule{Packs: make([]int, len(m.Offers)), Stay: make([]bool, len(r.brief.Stops)),
		Kg: make([]float64, len(r.brief.Stops)), Away: make([]bool, len(r.brief.Stops))}
	eaten := make([][]portion, 2*len(r.brief.Stops)-1)
	for _, p := range r.purchases[n.ID] {
		source := r.sourceOf(n, m, p.Item, p.Stop, -1)
		for _, o := range m.Sources[source].Offers {
			if m.Offers[o].Size == p.Pack*n.Items[m.Sources[source].Item].Yield {
				s.Packs[o] += p.Packs
			}
		}
		if p.EatenInPort > 0 {
			eaten[2*p.Stop] = append(eaten[2*p.Stop], portion{source, -1, p.EatenInPort * n.Items[m.Sources[source].Item].Yield, math.Inf(1)})
		}
	}
	held := r.held(i)
	for _, d := range r.draws[n.ID] {
		x := r.portion(n, m, d.Item, d.Lot, d.Space, d.Amount)
		period, _ := periodIndex(d.Period)
		eaten[period] = append(eaten[period], x)
		held[[2]int{x.source, x.way}] -= x.amount
	}
	for _, it := range n.Items {
		for _, d := range r.discards[it.ID] {
			x := r.portion(n, m, d.Item, d.Lot, d.Space, d.Amount)
			held[[2]int{x.source, x.way}] -= x.amount
			s.Flows = append(s.Flows, search.Flow{Source: x.source, Way: x.way, Segment: -1, To: d.Stop - 1, Amount: x.amount})
		}
	}
	r.rest(m, held, s)
	for period, portions := range eaten {
		s.Flows = append(s.Flows, served(m, period, portions)...)
	}
	s.Flows = slices.DeleteFunc(s.Flows, func(f search.Flow) bool { return f.Amount <= 0 || f.Segment < 0 && f.To < m.Sources[f.Source].Stop })
	return s
}

// held is what is stowed of every source and way of a need.
func (r *reader) held(i int) map[[2]int]float64 {
	n, m, held := &r.brief.Needs[i], r.model.Needs[i], map[[2]int]float64{}
	for _, p := range r.purchases[n.ID] {
		for _, st := range p.Stowed {
			x := r.portion(n, m, p.Item, p.ID, st.Space, st.Amount)
			held[[2]int{x.source, x.way}] += x.amount
		}
	}
	for k, s := range m.Sources {
		if s.Aboard >= 0 {
			held[[2]int{k, 0}] = s.Held
		}
	}
	return held
}

// rest holds what is neither eaten nor thrown away as long as it counts.
func (r *reader) rest(m *search.Need, held map[[2]int]float64, s *search.Schedule) {
	for source := range m.Sources {
		src := &m.Sources[source]
		for way := range src.Ways {
			to := min(len(r.brief.Stops)-2, src.Last/2)
			for to >= src.Stop && src.Ways[way].Expires <= r.brief.Stops[to].Depart {
				to--
			}
			if amount := held[[2]int{source, way}]; amount > search.Slack {
				s.Flows = append(s.Flows, search.Flow{Source: source, Way: way, Segment: -1, To: to, Amount: amount})
			}
		}
	}
}

// served gives the segments of a period what is eaten in it, what expires
// first first.
func served(m *search.Need, period int, portions []portion) []search.Flow {
	slices.SortStableFunc(portions, func(a, b portion) int { return cmp.Compare(a.expires, b.expires) })
	var flows []search.Flow
	left := 0.0
	for g, segment := range m.Segments {
		if segment.Period != period {
			continue
		}
		left = segment.Amount
		for len(portions) > 0 && left > 0 {
			p := &portions[0]
			amount := min(p.amount, left)
			to := -1
			if p.way >= 0 && period > 0 {
				to = (period - 1) / 2
			}
			flows = append(flows, search.Flow{Source: p.source, Way: p.way, Segment: g, To: to, Amount: amount})
			p.amount -= amount
			left -= amount
			if p.amount <= search.Slack/10 {
				portions = portions[1:]
			}
		}
	}
	return flows
}

// portion is an amount of a lot kept in a space.
func (r *reader) portion(n *Need, m *search.Need, item, lot, space string, amount float64) portion {
	stop, aboard := 0, -1
	if number, ok := strings.CutPrefix(lot, aboardPrefix); ok {
		aboard, _ = strconv.Atoi(number)
	} else {
		stop = r.bought[lot]
	}
	source := r.sourceOf(n, m, item, stop, aboard)
	src := &m.Sources[source]
	way := slices.IndexFunc(src.Ways, func(w search.Way) bool { return w.Room == r.rooms[space] })
	return portion{source, way, amount * n.Items[src.Item].Yield, src.Ways[way].Expires}
}

// sourceOf is the item at a stop, or its lot held on day 0.
func (r *reader) sourceOf(n *Need, m *search.Need, item string, stop, aboard int) int {
	return slices.IndexFunc(m.Sources, func(s search.Source) bool {
		return n.Items[s.Item].ID == item && s.Aboard == aboard && (aboard >= 0 || s.Stop == stop)
	})
}

// holds checks a brief and a plan before anything is asked of them.
func holds(b Brief, p Plan) error {
	if err := b.Check(); err != nil {
		return err
	}
	if broken := violations(b, p); len(broken) > 0 {
		return fmt.Errorf("the plan does not keep the rules of the brief: %w", broken)
	}
	return nil
}

// opened reads a plan after checking it.
func opened(b Brief, p Plan) (*compiled, *search.Held, error) {
	if err := holds(b, p); err != nil {
		return nil, nil, err
	}
	c := compile(b)
	return c, c.hold(p), nil
}
