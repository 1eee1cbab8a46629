package estimate

import (
	"math"

	"hardtack/pricing"
)

// habits are the simple ways of guessing that a model has to beat: rates of
// the day are used, pack sizes, reporters and age are not.
type habits struct {
	all        float64
	item, port map[string]float64
	last, five map[[2]string]float64
}

// habitNames are in the order of habits.guess.
var habitNames = []string{"item mean", "item x port mean", "last report", "median of last five"}

func newHabits(in *Input) *habits {
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
	return h
}

// guess gives the log unit price by every habit.
func (h *habits) guess(port pricing.PortID, item pricing.ItemID) []float64 {
	of, ok := h.item[string(item)]
	if !ok {
		of = h.all
	}
	both := of + h.port[string(port)]
	k := [2]string{string(port), string(item)}
	last, ok := h.last[k]
	if !ok {
		return []float64{of, both, both, both}
	}
	return []float64{of, both, last, h.five[k]}
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
