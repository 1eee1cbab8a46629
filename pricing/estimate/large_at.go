package estimate

import (
	"math"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// At is what is believed of an item at a port on a day, as Model.At.
func (l *Large) At(port pricing.PortID, item pricing.ItemID, day calendar.Day) pricing.Estimate {
	p, knownPort := l.portAt[port]
	i, knownItem := l.itemAt[item]
	if !knownPort || !knownItem {
		return l.basis.At(port, item, day)
	}
	o, newest, available := l.look(p, i, day)
	sd := l.basis.widen.of(l.basis.stratumOf(&o, &l.doubts)) * math.Sqrt(o.variance+tNoise*l.noise2+l.shop2)
	return pricing.Estimate{
		Price: math.Exp(o.mean), Low80: math.Exp(o.mean - z80*sd), High80: math.Exp(o.mean + z80*sd), LogSD: sd,
		Available: available, Evidence: o.evidence, Newest: newest, Basis: l.basis.basisOf(&o, &l.doubts), Goods: l.basis.larder.goods(p, i),
	}
}

// Table is what is believed of every port and item named, on a day.
func (l *Large) Table(ports []pricing.PortID, items []pricing.ItemID, day calendar.Day) *pricing.Table {
	t := pricing.NewTable(l.in.Rates.Reference(), day)
	for _, p := range ports {
		for _, i := range items {
			t.Set(p, i, l.At(p, i, day))
		}
	}
	return t
}

// look is a pair's belief on the log scale, its newest price and availability.
func (l *Large) look(port, item int32, day calendar.Day) (o outlook, newest calendar.Day, available float64) {
	ahead := float64(day - l.in.Day)
	level := l.levelOf(l.theta, port, item)
	moves, v := l.moving(port, item, ahead)
	v += l.doubts.level(port, item)
	o = outlook{item: item, port: port, mean: l.offset(port, item) + level + l.season(port, item, day) + moves, variance: v + l.cell2}
	available = l.basis.supply.at(port, item, max(0, ahead))
	if l.rows[port] == nil {
		return o, 0, available
	}
	s := &l.rows[port][item]
	g := l.categoryOf[item]
	if s.recent.w > 0 {
		n := s.recent.count(l.recent[g], int32(l.in.Day)+int32(max(0, ahead)))
		o.gain = n / (n + l.noise2/l.cell2)
		o.mean += o.gain * (s.recent.mean() - level)
		o.variance = l.cell2*(1-o.gain) + (1-o.gain)*(1-o.gain)*v
		o.evidence = n
	}
	if s.looked > 0 {
		d := l.supplied[g]
		unit := weightUnit * d.at(int32(l.in.Day)+int32(max(0, ahead)))
		available = tally{float64(s.found) / unit, float64(s.looked) / unit}.from(l.basis.supply.expected(port, item), cellStrength)
	}
	return o, calendar.Day(s.newest), available
}
