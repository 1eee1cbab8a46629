package underway

import (
	"math"
	"time"

	"hardtack/route/plan"
)

// Match tells, for each stop of a brief, which stop of another brief of the
// same voyage it is; -1 for one that is new. Ports are matched in route order,
// as many as can be; where a port is called at twice, the nearer date.
func Match(newer, older plan.Brief) []int {
	offset := daysBetween(older.Start, newer.Start)
	n, m := len(newer.Stops), len(older.Stops)
	best := make([][]float64, n+1) // of the stops from i and j on
	for i := range best {
		best[i] = make([]float64, m+1)
	}
	alike := func(i, j int) float64 {
		if newer.Stops[i].Port != older.Stops[j].Port {
			return 0
		}
		return 1 / (1 + math.Abs(newer.Stops[i].Depart+offset-older.Stops[j].Depart)/1000)
	}
	for i := n - 1; i >= 0; i-- {
		for j := m - 1; j >= 0; j-- {
			best[i][j] = max(best[i+1][j], best[i][j+1])
			if a := alike(i, j); a > 0 {
				best[i][j] = max(best[i][j], a+best[i+1][j+1])
			}
		}
	}
	out := make([]int, n)
	for i, j := 0, 0; i < n; {
		switch a := 0.0; {
		case j < m && best[i][j] == best[i][j+1]:
			j++
		default:
			out[i] = -1
			if j < m {
				a = alike(i, j)
			}
			if a > 0 && best[i][j] == a+best[i+1][j+1] {
				out[i] = j
				j++
			}
			i++
		}
	}
	return out
}

// daysBetween is how many days the second date is after the first; 0 where
// one is no date.
func daysBetween(first, second string) float64 {
	a, errA := time.Parse(time.DateOnly, first)
	b, errB := time.Parse(time.DateOnly, second)
	if errA != nil || errB != nil {
		return 0
	}
	return b.Sub(a).Hours() / 24
}

// Order is packs of an item the accepted plan buys at a stop of the new brief.
type Order struct {
	Item  string
	Stop  int
	Pack  float64
	Packs int
}

// Orders carries the purchases of a plan for an older brief over to a newer
// one, whose stops match tells of. What is bought at a stop that is gone, or
// no longer offered there, is left out; another size of pack stands in for one
// that is no longer sold.
func Orders(newer plan.Brief, match []int, p plan.Plan) []Order {
	var out []Order
	for s, from := range match {
		if from < 0 {
			continue
		}
		for _, n := range newer.Needs {
			for _, it := range n.Items {
				out = append(out, ordersOf(it, s, from, p)...)
			}
		}
	}
	return out
}

func ordersOf(it plan.Item, stop, from int, p plan.Plan) []Order {
	var out []Order
	rest, usual := 0.0, -1
	for _, x := range p.Purchases {
		if x.Item == it.ID && x.Stop == from {
			rest += float64(x.Packs) * x.Pack
		}
	}
	for k, o := range it.Offers {
		if o.Stop != stop {
			continue
		}
		if usual < 0 || o.Price/o.Pack < it.Offers[usual].Price/it.Offers[usual].Pack {
			usual = k
		}
		packs := 0
		for _, x := range p.Purchases {
			if x.Item == it.ID && x.Stop == from && x.Pack == o.Pack {
				packs += x.Packs
			}
		}
		if packs > 0 {
			out = append(out, Order{it.ID, stop, o.Pack, packs})
			rest -= float64(packs) * o.Pack
		}
	}
	if rest > speck && usual >= 0 && len(out) == 0 {
		pack := it.Offers[usual].Pack
		out = append(out, Order{it.ID, stop, pack, int(math.Ceil(rest/pack - 1e-9))})
	}
	return out
}
