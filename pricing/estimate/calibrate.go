package estimate

import (
	"math"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// stratum is how much is known of a pair.
type stratum int

const (
	seenCell stratum = iota
	seenPort
	seenCountry
	unseen
	strata
)

func (m *Model) stratum(o *outlook) stratum { return m.stratumOf(o, &m.fit.doubt) }

func (m *Model) stratumOf(o *outlook, d *doubt) stratum {
	switch {
	case o.evidence > 0.05:
		return seenCell
	case o.port >= 0 && d.portInfo[o.port] > 0:
		return seenPort
	case o.port >= 0 && d.countryInfo[m.fit.countryOf[o.port]] > 0:
		return seenCountry
	}
	return unseen
}

// widening is a factor on the sd of intervals, by stratum.
type widening [strata]float64

var plain = widening{1, 1, 1, 1}

func (w widening) of(s stratum) float64 { return w[s] }

// Calibration: a model that knew only the reports before the newest fifth is
// tried on that fifth (split conformal prediction: Lei et al., JASA 113, 2018,
// 1094–1111). With few reports the factor stays near 1.
const (
	heldShare      = 0.2
	calibrateLeast = 30.0
)

func calibrate(ix *index, in *Input) widening {
	w := plain
	past, later, ok := split(in)
	if !ok {
		return w
	}
	m := fitted(ix.learn(&past))
	var ratios [strata][]float64
	for _, t := range m.trials(later) {
		s := m.stratum(&t.outlook)
		ratios[s] = append(ratios[s], math.Abs(t.off())/t.sd(m.fit))
	}
	for s, r := range ratios {
		n := float64(len(r))
		if q, ok := conformal(r, 0.2); ok {
			w[s] = math.Exp(math.Log(q/z80) * n / (n + calibrateLeast))
		}
	}
	return w
}

// conformal is the k-th smallest of r with k = ⌈(n+1)(1−α)⌉; false when k is
// beyond the last. It sorts r.
func conformal(r []float64, alpha float64) (float64, bool) {
	k := int(math.Ceil(float64(len(r)+1) * (1 - alpha)))
	if len(r) == 0 || k > len(r) {
		return 0, false
	}
	slices.Sort(r)
	return r[k-1], r[k-1] > 0
}

// split takes the newest fifth of the standing prices off; false when there
// are too few to learn from.
func split(in *Input) (past Input, later []pricing.Report, ok bool) {
	standing := pricing.Standing(in.Reports, in.Day)
	var days []calendar.Day
	for _, r := range standing {
		if r.Found == pricing.FoundYes {
			days = append(days, r.Day)
		}
	}
	if len(days) < int(calibrateLeast) {
		return past, nil, false
	}
	slices.Sort(days)
	cut := days[int(float64(len(days))*(1-heldShare))] - 1
	if cut < days[0] {
		return past, nil, false
	}
	past = *in
	past.Day = cut
	past.Reports = nil
	for _, r := range standing {
		if r.Day <= cut {
			past.Reports = append(past.Reports, r)
		} else if r.Found == pricing.FoundYes {
			later = append(later, r)
		}
	}
	return past, later, true
}

// trial is a later report beside what was believed before it.
type trial struct {
	outlook
	report *pricing.Report
	y      float64 // log price per unit in the usual pack, its reporter's bias taken off
	spread float64 // variance of its noise against that of an ordinary receipt
}

func (t *trial) off() float64 { return t.y - t.mean }

// sd is what is expected of off.
func (t *trial) sd(f *fit) float64 {
	return math.Sqrt(t.variance + tNoise*f.noise2*t.spread + f.shop2)
}

// trials look at later reports of the better sources that are no slips.
func (m *Model) trials(later []pricing.Report) []trial {
	f := m.fit
	var out []trial
	for k := range later {
		r := &later[k]
		port, knownPort := f.portAt[r.Port]
		item, knownItem := f.itemAt[r.Item]
		if !knownPort || !knownItem || r.Source == pricing.Memory {
			continue
		}
		s, ok := f.sight(r, 0)
		if !ok {
			continue
		}
		t := trial{outlook: m.look(r.Port, r.Item, r.Day), report: r, spread: s.spread}
		bias := 0.0
		if u, known := f.reporterAt[r.Reporter]; known {
			bias = f.bias[u]
			t.spread *= f.loose[u]
		}
		t.y = s.y - bias + f.offset(port, item) - f.theta[f.pack+int(f.categoryOf[item])]*s.x
		s.off, s.offSD2 = t.off(), t.variance+f.noise2
		if _, odds := f.bestSlip(&s, r, port, item); !probable(odds, s.off) {
			out = append(out, t)
		}
	}
	return out
}
