package estimate

import (
	"strings"

	"hardtack/pricing/calendar"
)

// adjust sets what is learned of each report itself, whatever its cell's own
// level: its reporter's bias, its shop's level, the time of the year and the
// state of its country and of the item on its day.
func (f *fit) adjust() {
	for k := range f.sights {
		o := &f.sights[k]
		c := &f.cells[o.cell]
		o.known = f.bias[o.reporter] + f.moved(c.port, c.item, o.day) + f.season(c.port, c.item, calendar.Day(o.day))
		if o.shop >= 0 {
			o.known += f.outlet[o.shop]
		}
	}
}

// shops are the levels of shops by the name reports give them: "market" is the
// same everywhere, a name met in one port is one shop. What is priced is the
// middle of all, so the levels are zero on average over reports.
type shops struct {
	numbers map[string]int32
	outlet  []float64 // log level
	names2  float64   // variance between names
	shop2   float64   // variance of a receipt's shop
}

const (
	startShop  = 0.08
	priorShops = 4 // weight of the start value when the variance is learned
)

func newShops() shops {
	return shops{numbers: map[string]int32{}, names2: startShop * startShop}
}

// number gives a shop's number, -1 for no name.
func (s *shops) number(name string) int32 {
	name = shopName(name)
	if name == "" {
		return -1
	}
	k, ok := s.numbers[name]
	if !ok {
		k = int32(len(s.outlet))
		s.numbers[name] = k
		s.outlet = append(s.outlet, 0)
	}
	return k
}

func shopName(name string) string { return strings.ToLower(strings.TrimSpace(name)) }

// outlets learns the shops' levels from residuals that leave the report out.
func (f *fit) outlets() {
	of := make([]residuals, len(f.outlet))
	all := 0.0
	for k := range f.sights {
		o := &f.sights[k]
		if o.remark || o.held {
			continue
		}
		all += o.share
		if o.shop >= 0 {
			of[o.shop].add(o.off, max(o.offSD2+f.noise2*(f.loose[o.reporter]-1), f.noise2/2), f.outlet[o.shop], o.share)
		}
	}
	f.shops.learn(of, all)
}

// learn shrinks the levels, centres them, and learns their variance.
func (s *shops) learn(of []residuals, reports float64) {
	sum, n, centre := priorShops*startShop*startShop, float64(priorShops), 0.0
	var doubt = make([]float64, len(of))
	for k, r := range of {
		doubt[k] = 1 / (r.info + 1/s.names2)
		s.outlet[k] = r.sum * doubt[k]
		centre += r.n * s.outlet[k] / reports
	}
	s.shop2 = 0
	for k, r := range of {
		s.outlet[k] -= centre
		x := s.outlet[k]*s.outlet[k] + doubt[k]
		if r.n > 0 {
			sum += x
			n++
			s.shop2 += r.n / reports * x
		}
	}
	s.names2 = sum / n
}
