package estimate

import (
	"math"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// habits are the simple ways of guessing that a model has to beat: rates of
// the day are used, pack sizes, reporters and age are not.
type habits struct {
	all        float64
	item, port map[string]float64 // means; a port's of what is left of the items'
	fit        twoWayFit
	last, five map[[2]string]float64
	// sd of each habit about later reports of pairs it knew, and did not
	sd [habitCount][2]float64
}

// habitNames are in the order of habits.guess.
var habitNames = [habitCount]string{"item mean", "item x port mean", "last report", "median of last five", "two-way fit"}

const habitCount = 5

// newHabits learns the habits, and how far each is off by a trial forward in
// time.
func newHabits(in *Input) *habits {
	h := plainHabits(in)
	for k := range h.sd {
		h.sd[k] = [2]float64{0.5, 0.5}
	}
	past, later, ok := split(in)
	if !ok {
		return h
	}
	before := plainHabits(&past)
	var square [habitCount][2]float64
	var n [2]float64
	for k := range later {
		r := &later[k]
		y, ok := logUnitPrice(in, r)
		if !ok {
			continue
		}
		known := before.stage(r.Port, r.Item)
		n[known]++
		for j, g := range before.guess(r.Port, r.Item) {
			square[j][known] += (y - g) * (y - g)
		}
	}
	for j := range square {
		for known, x := range square[j] {
			if n[known] > 1 {
				h.sd[j][known] = max(math.Sqrt(x/n[known]), 1e-3)
			}
		}
	}
	return h
}

func plainHabits(in *Input) *habits {
	h := &habits{item: map[string]float64{}, port: map[string]float64{}, last: map[[2]string]float64{}, five: map[[2]string]float64{}}
	items, ports, cells := map[string][]float64{}, map[string][]float64{}, map[[2]string][]float64{}
	var all []float64
	reports := byDay(pricing.Standing(in.Reports, in.Day))
	for _, r := range reports {
		if y, ok := logUnitPrice(in, &r); ok {
			all = append(all, y)
			items[string(r.Item)] = append(items[string(r.Item)], y)
			k := [2]string{string(r.Port), string(r.Item)}
			cells[k] = append(cells[k], y)
		}
	}
	h.all = mean(all)
	for i, ys := range items {
		h.item[i] = mean(ys)
	}
	for _, r := range reports {
		if y, ok := logUnitPrice(in, &r); ok {
			ports[string(r.Port)] = append(ports[string(r.Port)], y-h.item[string(r.Item)])
		}
	}
	for p, ys := range ports {
		h.port[p] = mean(ys)
	}
	for k, ys := range cells {
		h.last[k] = ys[len(ys)-1]
		h.five[k] = median(append([]float64(nil), ys[max(0, len(ys)-5):]...))
	}
	h.fit = newTwoWayFit(cells)
	return h
}

// guess gives the log unit price by every habit.
func (h *habits) guess(port pricing.PortID, item pricing.ItemID) [habitCount]float64 {
	of, ok := h.item[string(item)]
	if !ok {
		of = h.all
	}
	both := of + h.port[string(port)]
	fit := h.fit.at(string(port), string(item), h.all)
	k := [2]string{string(port), string(item)}
	last, ok := h.last[k]
	if !ok {
		return [habitCount]float64{of, both, both, both, fit}
	}
	return [habitCount]float64{of, both, last, h.five[k], fit}
}

// stage is 1 for a pair with price reports, else 0.
func (h *habits) stage(port pricing.PortID, item pricing.ItemID) int {
	if _, ok := h.last[[2]string{string(port), string(item)}]; ok {
		return 1
	}
	return 0
}

// twoWayFit is least squares on items and ports (Summers, Rev. Income Wealth
// 19, 1973, 1–16), by block backfitting, re-centred at every sweep.
type twoWayFit struct{ item, port map[string]float64 }

func newTwoWayFit(cells map[[2]string][]float64) twoWayFit {
	f := twoWayFit{map[string]float64{}, map[string]float64{}}
	keys := sortedKeys(cells)
	for range 200 {
		moved := f.sweep(f.item, keys, cells, func(k [2]string) (own, other string) { return k[1], k[0] }, f.port)
		moved = max(moved, f.sweep(f.port, keys, cells, func(k [2]string) (own, other string) { return k[0], k[1] }, f.item))
		centre := 0.0
		for _, k := range keys {
			centre += f.port[k[0]] / float64(len(keys))
		}
		for p := range f.port {
			f.port[p] -= centre
		}
		for i := range f.item {
			f.item[i] += centre
		}
		if moved < 1e-9 {
			break
		}
	}
	return f
}

// sweep sets one side to the means of what the other leaves.
func (f twoWayFit) sweep(side map[string]float64, keys [][2]string, cells map[[2]string][]float64, names func([2]string) (own, other string), others map[string]float64) (moved float64) {
	sum, n := map[string]float64{}, map[string]float64{}
	for _, k := range keys {
		own, other := names(k)
		for _, y := range cells[k] {
			sum[own] += y - others[other]
			n[own]++
		}
	}
	for own, x := range sum {
		moved = max(moved, math.Abs(side[own]-x/n[own]))
		side[own] = x / n[own]
	}
	return moved
}

func (f twoWayFit) at(port, item string, all float64) float64 {
	i, ok := f.item[item]
	if !ok {
		i = all
	}
	return i + f.port[port]
}

// logUnitPrice is what was paid per unit in reference currency; false when
// nothing was paid or no rate is known.
func logUnitPrice(in *Input, r *pricing.Report) (float64, bool) {
	if r.Found != pricing.FoundYes || r.Pack <= 0 {
		return 0, false
	}
	paid, err := in.Rates.InReference(r.Paid, r.Day)
	if err != nil || paid <= 0 {
		return 0, false
	}
	return math.Log(paid / r.Pack.Units()), true
}

func mean(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// Known is the truth about a pair, for worlds where it is known.
type Known struct {
	Port    pricing.PortID
	Item    pricing.ItemID
	Day     calendar.Day
	Log     float64 // median price per unit in the list pack, log reference currency
	Receipt float64 // log price of one unmistaken receipt there
}
