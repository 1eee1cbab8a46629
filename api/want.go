package api

import (
	"context"
	"slices"

	"hardtack/api/exchange"
	"hardtack/pricing"
	"hardtack/route/plan"
)

// WantOf is what reports would change a voyage's plan most: those of the ports
// still ahead, the next one first, and of the items it needs. What is at stake
// for an item is how much of it is needed times how far its price is uncertain
// there. Errors as Brief.
//
// It names ports of the route to whoever is asked with it.
func (s *Service) WantOf(ctx context.Context, voyage string) (exchange.Want, error) {
	b, err := s.boarded(ctx, voyage)
	if err != nil {
		return exchange.Want{}, err
	}
	var w exchange.Want
	var ports []pricing.PortID
	now := float64(s.Today() - b.itinerary.Start)
	for _, c := range b.itinerary.Calls {
		if c.Depart >= now && !slices.Contains(ports, c.Port) {
			ports = append(ports, c.Port)
			w.Ports = append(w.Ports, string(c.Port))
		}
	}
	needed := amounts(b.briefed.Brief)
	var items []pricing.ItemID
	for _, id := range s.world.Catalogue.Order {
		if needed[string(id)] > 0 {
			items = append(items, id)
		}
	}
	table, err := s.Table(ctx, ports, items, s.Today())
	if err != nil {
		return exchange.Want{}, err
	}
	for _, id := range items {
		spread := 0.0
		for _, p := range ports {
			if e, ok := table.At(p, id); ok {
				spread += (e.High80 - e.Low80) / float64(len(ports))
			}
		}
		w.Items = append(w.Items, string(id))
		w.Stake = append(w.Stake, spread*needed[string(id)])
	}
	return w, nil
}

// amounts are how much of each item the whole voyage would need if it alone
// served its need, in the item's units.
func amounts(b plan.Brief) map[string]float64 {
	out := map[string]float64{}
	for _, n := range b.Needs {
		total := 0.0
		for k, s := range b.Stops {
			total += n.UseInPort[k] * (s.Depart - s.Arrive)
			if k+1 < len(b.Stops) {
				total += n.UseAtSea[k] * (b.Stops[k+1].Arrive - s.Depart)
			}
		}
		for _, it := range n.Items {
			if it.Yield > 0 {
				out[it.ID] = max(out[it.ID], total/it.Yield)
			}
		}
	}
	return out
}
