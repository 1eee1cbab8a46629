package estimate

import (
	"cmp"
	"math"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

// Doubt is why a price looks like a slip, and what may have been meant.
type Doubt struct {
	Times       float64 // the price reported against the usual one here
	Usual       money.Amount
	Corrections []Correction // likeliest first; never more than a few
}

// Correction is what may have been meant: a report with other figures.
type Correction struct {
	Reason string           `json:"reason"` // decimal, pack, unit or currency
	Paid   money.Amount     `json:"-"`
	Pack   measure.Quantity `json:"-"`
}

// mostCorrections is how many a person can be asked about.
const mostCorrections = 3

// Question asks about a report that may be one of those believed or a new one;
// false when there is nothing to ask. Usual is for the pack reported.
func (m *Model) Question(r *pricing.Report) (Doubt, bool) {
	f := m.fit
	port, knownPort := f.portAt[r.Port]
	item, knownItem := f.itemAt[r.Item]
	if !knownPort || !knownItem || r.Found != pricing.FoundYes {
		return Doubt{}, false
	}
	s, ok := f.sight(r, 0)
	if !ok {
		return Doubt{}, false
	}
	o := m.look(r.Port, r.Item, max(r.Day, f.in.Day))
	slope := f.theta[f.pack+int(f.categoryOf[item])] * s.x
	s.off = s.y + f.offset(port, item) - slope - o.mean
	s.offSD2 = o.variance + f.noise2 + f.shop2
	_, odds := f.bestSlip(&s, r, port, item)
	if !probable(odds/surer(r), s.off) {
		return Doubt{}, false
	}
	usual, err := money.FromFloat(r.Paid.Float()*math.Exp(-s.off), r.Paid.Currency)
	if err != nil {
		return Doubt{}, false
	}
	return Doubt{Times: math.Exp(s.off), Usual: usual, Corrections: f.corrections(&s, r, port, item)}, true
}

// surer is by how much better the odds must be to ask about a report that puts
// an earlier one right: its reporter has looked at it again.
func surer(r *pricing.Report) float64 {
	if r.Replaces != "" {
		return 50
	}
	return 1
}

// corrections are the slips that explain a report, likeliest first, those left
// out that explain it far worse than the first.
func (f *fit) corrections(o *sight, r *pricing.Report, port, item int32) []Correction {
	type meant struct {
		Correction
		likely float64
	}
	var all []meant
	sd := math.Sqrt(o.offSD2)
	f.eachSlip(r, port, item, func(s slip) {
		if c, ok := s.correct(r); ok {
			all = append(all, meant{c, s.odds * tails((o.off-s.log)/sd)})
		}
	})
	slices.SortStableFunc(all, func(a, b meant) int { return cmp.Compare(b.likely, a.likely) })
	var out []Correction
	for _, c := range all {
		if len(out) < mostCorrections && c.likely > all[0].likely/30 {
			out = append(out, c.Correction)
		}
	}
	return out
}
