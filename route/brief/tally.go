package brief

import (
	"cmp"
	"slices"

	"hardtack/route/plan"
)

// eatenOf is what is eaten of every item of the brief, item-units.
func eatenOf(p plan.Plan) map[string]float64 {
	out := map[string]float64{}
	for _, buy := range p.Purchases {
		out[buy.Item] += buy.EatenInPort
	}
	for _, d := range p.Draws {
		out[d.Item] += d.Amount
	}
	return out
}

func groupsOf(b plan.Brief, n Notes, eaten map[string]float64, days float64) ([]GroupEaten, []ItemShare) {
	var groups []GroupEaten
	var shares []ItemShare
	at := map[string]int{}
	for _, need := range b.Needs {
		note, _ := n.Need(need.ID)
		g, ok := at[note.Group]
		if !ok {
			g = len(groups)
			at[note.Group] = g
			groups = append(groups, GroupEaten{Group: note.Group})
		}
		for _, it := range need.Items {
			units := eaten[it.ID] * it.Yield / cmp.Or(note.PerUnit, 1)
			i, _ := n.Item(it.ID)
			groups[g].PerPersonDay += ratioOr(units, days, 0)
			groups[g].Kcal += ratioOr(eaten[it.ID]*i.Kcal*(1-i.LossPart), days, 0)
			if units > 0 {
				shares = addShare(shares, ItemShare{note.Group, string(i.Item), ratioOr(units, days, 0)})
			}
		}
	}
	for i := range shares {
		shares[i].Share = ratioOr(shares[i].Share, groups[at[shares[i].Group]].PerPersonDay, 0)
	}
	slices.SortStableFunc(shares, func(x, y ItemShare) int {
		return cmp.Or(cmp.Compare(at[x.Group], at[y.Group]), cmp.Compare(y.Share, x.Share))
	})
	return groups, shares
}

func addShare(shares []ItemShare, s ItemShare) []ItemShare {
	for i := range shares {
		if shares[i].Group == s.Group && shares[i].Item == s.Item {
			shares[i].Share += s.Share
			return shares
		}
	}
	return append(shares, s)
}

// losses finds what is taken away, what spoils and what is left.
func (r *Review) losses(b plan.Brief, lots []*holding) {
	items := itemsOf(b)
	end := b.Stops[len(b.Stops)-1].Depart
	for _, h := range lots {
		taken := -1
		for _, s := range items[h.item].SurrenderedAt {
			if s > h.from && (taken < 0 || s < taken) {
				taken = s
			}
		}
		if taken >= 0 && h.expires > b.Stops[taken].Arrive {
			if left := h.at(stayPeriod(taken)); left > 1e-6 {
				r.Surrendered = append(r.Surrendered, Lost{h.item, taken, left, left * h.price})
			}
			continue
		}
		left := h.at(stayPeriod(len(b.Stops)))
		switch {
		case left <= 1e-6:
		case h.expires < end:
			r.Spoilt = append(r.Spoilt, Lost{h.item, -1, left, left * h.price})
		default:
			r.Left += left * h.price
		}
	}
}

func loads(b plan.Brief, p plan.Plan) []Load {
	items := itemsOf(b)
	out := make([]Load, len(b.Stops))
	type line struct {
		item string
		stop int
	}
	lines := map[line]bool{}
	for s := range out {
		out[s].Stop = s
	}
	for _, buy := range p.Purchases {
		l := &out[buy.Stop]
		l.Packs += buy.Packs
		l.Spend += float64(buy.Packs) * buy.Price
		carried := 0.0
		for _, st := range buy.Stowed {
			carried += st.Amount
		}
		l.Kg += carried * items[buy.Item].Kg
		if at := (line{buy.Item, buy.Stop}); carried > 0 && !lines[at] {
			lines[at] = true
			l.Lines++
		}
	}
	for _, t := range p.Trips {
		out[t.Stop].Trips = t.Count
	}
	return out
}

func fills(b plan.Brief, lots []*holding) []Fill {
	var out []Fill
	for _, sp := range b.Stowage.Spaces {
		f := Fill{Space: sp.ID, Room: sp.Litres}
		for s := range b.Stops[:len(b.Stops)-1] {
			if x := litresAt(b, lots, sp.ID, s); x > f.Litres {
				f.Litres, f.Stop = x, s
			}
		}
		out = append(out, f)
	}
	return out
}
