package api

import (
	"cmp"
	"context"
	"math"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
)

// Change is how what is believed of a price has changed.
type Change struct {
	Port   pricing.PortID   `json:"port"`
	Item   pricing.ItemID   `json:"item"`
	Before pricing.Estimate `json:"before"`
	Now    pricing.Estimate `json:"now"`
	Share  float64          `json:"share"` // of the price before: 0.1 is a tenth more
}

// notable is a change worth telling: a tenth. Judgement of ours.
const notable = 0.10

// News says what has changed since a day, of some ports and items, all of them
// where none is named: prices that are believed otherwise by now, largest
// change first, up to n. Only cells with a report of their own since are told.
func (s *Service) News(ctx context.Context, since calendar.Day, ports []pricing.PortID, items []pricing.ItemID, n int) (money.Currency, []Change, error) {
	rd, err := s.reader(ctx)
	if err != nil {
		return "", nil, err
	}
	for _, p := range ports {
		rd.port("port", string(p))
	}
	for _, i := range items {
		rd.item("item", string(i))
	}
	if since.IsZero() || since > rd.today {
		rd.faults.add("since", since.String(), "a day that has come")
	}
	if err := rd.faults.err("news"); err != nil {
		return "", nil, err
	}
	if len(ports) == 0 {
		for _, p := range rd.gazetteer.All() {
			ports = append(ports, p.ID)
		}
	}
	if len(items) == 0 {
		items = s.world.Catalogue.Order
	}
	before, err := s.Table(ctx, ports, items, since)
	if err != nil {
		return "", nil, err
	}
	now, err := s.Table(ctx, ports, items, rd.today)
	if err != nil {
		return "", nil, err
	}
	return now.Currency, changes(before, now, ports, items, since, n), nil
}

func changes(before, now *pricing.Table, ports []pricing.PortID, items []pricing.ItemID, since calendar.Day, n int) []Change {
	out := []Change{}
	for _, p := range ports {
		for _, i := range items {
			a, ok1 := before.At(p, i)
			b, ok2 := now.At(p, i)
			if !ok1 || !ok2 || b.Newest <= since || a.Price <= 0 {
				continue
			}
			if share := b.Price/a.Price - 1; math.Abs(share) >= notable {
				out = append(out, Change{p, i, a, b, share})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Change) int { return cmp.Compare(math.Abs(b.Share), math.Abs(a.Share)) })
	return out[:min(n, len(out))]
}
