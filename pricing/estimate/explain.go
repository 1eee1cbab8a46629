package estimate

import (
	"math"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// Explanation is how an estimate came about. Factors multiply: 1.1 is 10 %
// dearer. Prices are as in pricing.Estimate.
type Explanation struct {
	Estimate pricing.Estimate `json:"-"`
	Expected float64          `json:"expected"` // price as long as nobody had reported this pair
	Own      float64          `json:"own"`      // share of the pair's own reports in the figure, 0–1
	Pulls    []Pull           `json:"pulls"`    // what Expected is made of, from the item's price
	Reports  []Witness        `json:"reports"`  // oldest first
	// With one more receipt of today, and without: the middle four fifths of
	// what the port's usual price may be, as a share of it to each side.
	DoubtNow  float64 `json:"doubt_now"`
	DoubtThen float64 `json:"doubt_then"`
}

// Pull is one of the things that move a price.
type Pull struct {
	Name   string  `json:"name"`
	Factor float64 `json:"factor"`
}

// Witness is a report behind an estimate.
type Witness struct {
	Report string       `json:"report"`
	Day    calendar.Day `json:"day"`
	// Price as reported, made one of the usual pack and of the day believed
	// about, its reporter's and its shop's habits taken off; 0 for a word.
	Price  float64 `json:"price,omitzero"`
	Weight float64 `json:"weight"`        // share of it in Own, 0–1
	Why    string  `json:"why,omitempty"` // what weakens it
}

// Explain says what is behind an estimate of the model's day.
func (m *Model) Explain(port pricing.PortID, item pricing.ItemID) Explanation {
	f := m.fit
	day := f.in.Day
	o := m.look(port, item, day)
	level, _ := m.expected(&o, 0)
	e := Explanation{Estimate: m.At(port, item, day), Expected: math.Exp(level), Own: o.gain}
	if o.port >= 0 && o.item >= 0 {
		e.Pulls = m.pulls(&o)
	}
	if o.cell != nil {
		e.Reports = m.witnesses(&o)
	}
	sd := math.Sqrt(o.variance)
	then := math.Sqrt(1 / (1/o.variance + 1/(f.noise2+f.shop2)))
	e.DoubtNow, e.DoubtThen = math.Expm1(z80*sd), math.Expm1(z80*then)
	return e
}

// pulls are the item's price and what country, port and time make of it.
func (m *Model) pulls(o *outlook) []Pull {
	f := m.fit
	c := f.countryOf[o.port]
	country := f.theta[f.country+int(c)]
	log := []struct {
		name string
		y    float64
	}{
		{"item", f.expected[o.item] + f.theta[f.system.item+int(o.item)]},
		{"country", levelElasticity*f.index.levels[c] + country},
		{"port", f.theta[f.port+int(o.port)] - country},
		{"far from others", f.aloneAt(o.port) * f.theta[f.remote]},
		{"category in this country", f.theta[f.twist+f.twistAt(o.port, o.item)]},
		{"item in this country", f.theta[f.product+f.productAt(o.port, o.item)]},
		{"time of the year for " + f.itemOf[o.item].Category, f.season(o.port, o.item, f.in.Day)},
		{"country of late", f.lands.ahead(c, 0)},
		{"item of late", f.goods.ahead(o.item, 0)},
		{"item in this country this week", f.offers.ahead(f.offerOf(o.port, o.item), 0)},
	}
	out := make([]Pull, len(log))
	for k, p := range log {
		out[k] = Pull{p.name, math.Exp(p.y)}
	}
	return out
}

// witnesses weighs the reports of a pair: each one's share is how far the
// figure would follow it.
func (m *Model) witnesses(o *outlook) []Witness {
	f, c := m.fit, o.cell
	own := f.sights[c.from:c.to]
	p := f.of(c.item)
	_, pack := f.terms(f.theta, c.port, c.item)
	out := make([]Witness, len(own))
	for k := range own {
		s, r := &own[k], &f.standing[own[k].source]
		w := Witness{Report: r.ID, Day: r.Day, Weight: p.follows(own, k, int32(f.in.Day)), Why: f.weakness(s, r)}
		if !s.remark {
			now := f.moved(c.port, c.item, int32(f.in.Day)) + f.season(c.port, c.item, f.in.Day)
			w.Price = math.Exp(s.y - s.known - pack*s.x + f.offset(c.port, c.item) + now)
		}
		out[k] = w
	}
	return out
}

// follows is how far a cell's deviation on a day follows one of its sights: a
// filter in which that alone moves.
func (p process) follows(sights []sight, which int, day int32) float64 {
	mean, v := 0.0, p.cell2
	for k := range sights {
		if k > 0 {
			f := p.between(&sights[k-1], &sights[k])
			mean, v = f*mean, p.cell2-f*f*(p.cell2-v)
		}
		n := p.noise(&sights[k])
		if math.IsInf(n, 1) {
			continue
		}
		y := 0.0
		if k == which {
			y = 1
		}
		mean += v / (v + n) * (y - mean)
		v *= n / (v + n)
	}
	return mean * p.fade(float64(day-sights[len(sights)-1].day))
}

// weakness says what makes a report count less than an ordinary receipt.
func (f *fit) weakness(s *sight, r *pricing.Report) string {
	switch {
	case s.held:
		return "held back as a probable slip"
	case s.remark:
		return "a word, not a price"
	case f.trust[s.reporter] < 0.5:
		return "its reporter is often far from the others"
	case s.share < 0.9:
		return "one of several of its reporter"
	case math.Abs(s.off) > 2.5*math.Sqrt(s.offSD2):
		return "far from what others report"
	case f.loose[s.reporter] > 1.5:
		return "its reporter is less exact than others"
	case r.Source == pricing.Memory:
		return "remembered"
	}
	return ""
}
