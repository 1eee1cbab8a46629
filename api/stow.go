package api

import (
	"context"
	"fmt"
	"math"

	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/inventory"
	"hardtack/route/vessel"
)

// Stow proposes a locker for what the voyage's last plan buys at one of its
// stops, beside what lies in the lockers now. Errors: ErrNotFound (vessel, plan
// or stop), ErrInvalid (no lockers are entered).
func (s *Service) Stow(ctx context.Context, vesselID, voyage string, stop int) (inventory.Proposal, error) {
	b, err := s.boatOf(ctx, vesselID)
	if err != nil {
		return inventory.Proposal{}, err
	}
	if len(b.Lockers) == 0 {
		var fs faults
		fs.add("lockers", "none", "the lockers of this boat, to propose one")
		return inventory.Proposal{}, fs.err("stow")
	}
	if voyage, err = s.voyageFor(ctx, voyage); err != nil {
		return inventory.Proposal{}, err
	}
	p, err := s.LastPlan(ctx, voyage)
	if err != nil {
		return inventory.Proposal{}, err
	}
	if stop < 0 || stop >= len(p.Value.Brief.Stops) {
		return inventory.Proposal{}, fmt.Errorf("stop %d of voyage %s: %w, it has %d, counted from 0",
			stop, voyage, ErrNotFound, len(p.Value.Brief.Stops))
	}
	lots, _, err := s.db.Lots(ctx, vesselID)
	if err != nil {
		return inventory.Proposal{}, err
	}
	return b.Propose(lots, bought(p.Value, stop, s.world.Catalogue)), nil
}

// bought is what a plan buys at a stop and carries away, with the days from the
// departure on which the first and the last of it are used.
func bought(p Planned, stop int, cat *item.Catalogue) []inventory.Goods {
	var out []inventory.Goods
	from := p.Brief.Stops[stop].Depart
	for _, buy := range p.Plan.Purchases {
		if buy.Stop != stop {
			continue
		}
		note, ok := p.Notes.Item(buy.Item)
		if !ok {
			continue
		}
		for _, st := range buy.Stowed {
			g := inventory.Goods{Item: note.Item, Kind: vessel.SpaceKind(st.Space), Amount: st.Amount, First: notUsed, Last: 0}
			g.Pack = whole(cat.Items[note.Item], &g.Amount)
			for _, d := range p.Plan.Draws {
				if d.Lot != buy.ID || d.Item != buy.Item || d.Space != st.Space {
					continue
				}
				day := max(0, p.dayOf(d.Period)-from)
				g.First, g.Last = min(g.First, day), max(g.Last, day)
			}
			out = append(out, g)
		}
	}
	return out
}

// whole is the pack that is not to be split: a usual one, if there is so much,
// or a piece. A piece begun ashore is carried aboard as a whole one.
func whole(i item.Item, amount *float64) float64 {
	if i.Unit == measure.Each {
		*amount = math.Ceil(*amount - 1e-6)
		return 1
	}
	if pack := i.ListPack.Units(); pack <= *amount {
		return pack
	}
	return 0
}

// notUsed is later than any day of a voyage: what is only held in reserve.
const notUsed = 999

// dayOf is when a period ("stay 3", "leg 2") begins, in days since the start.
func (p Planned) dayOf(period string) float64 {
	var n int
	if _, err := fmt.Sscanf(period, "stay %d", &n); err == nil && n < len(p.Brief.Stops) {
		return p.Brief.Stops[n].Arrive
	}
	if _, err := fmt.Sscanf(period, "leg %d", &n); err == nil && n < len(p.Brief.Stops) {
		return p.Brief.Stops[n].Depart
	}
	return 0
}
