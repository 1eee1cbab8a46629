package estimate

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"hardtack/pricing"
)

// ErrFew says that there are too few reports to learn from one part and judge
// by the other.
var ErrFew = errors.New("too few price reports to evaluate: want 30 over more than a day")

// Score is how well log prices were known.
type Score struct {
	Name     string  `json:"name"`
	RMSE     float64 `json:"rmse"`
	MAE      float64 `json:"mae"`
	Coverage float64 `json:"coverage"` // share of receipts inside the 80 % interval
	CRPS     float64 `json:"crps"`     // of the normal stated, for one receipt
}

// Part scores some of the pairs.
type Part struct {
	Name   string  `json:"name"` // all, or what was known of the pair before
	Pairs  int     `json:"pairs"`
	Scores []Score `json:"scores"` // the model first, then the simple habits
	// Ratio and CRPSRatio are the model's scores over the best habit's.
	Ratio     float64 `json:"ratio"`
	CRPSRatio float64 `json:"crps_ratio"`
	// TruthCRPS is the score of the true price with the true spread of a
	// receipt, as far as it is known; else zero.
	TruthCRPS float64 `json:"truth_crps,omitempty"`
}

// Evaluation compares the model with simple habits.
type Evaluation struct {
	Cut     string `json:"cut"` // last day learned from
	Learned int    `json:"learned"`
	Parts   []Part `json:"parts"`
}

var stratumNames = [strata]string{"pair with reports", "port with reports", "country with reports", "country without reports"}

// Evaluate is a trial forward in time: the model and simple habits learn from
// the reports of the first four fifths, and are judged by those of the better
// sources in the last fifth that are no probable slips. The error is ErrFew.
func Evaluate(in Input) (Evaluation, error) {
	past, later, ok := split(&in)
	if !ok {
		return Evaluation{}, ErrFew
	}
	m, h := Fit(past), newHabits(&past)
	var parts judges
	for _, t := range m.trials(later) {
		unit, _ := logUnitPrice(&in, t.report) // a trial has one
		parts.add(m, h, &t.outlook, verdict{truth: t.y, receipt: t.y, unit: unit})
	}
	return Evaluation{Cut: past.Day.String(), Learned: len(past.Reports), Parts: parts.parts()}, nil
}

// Against judges the model and simple habits, learned from all of in, by the
// truth.
func Against(in Input, known []Known) Evaluation {
	m, h := Fit(in), newHabits(&in)
	spread := 0.0
	for _, k := range known {
		spread += (k.Receipt - k.Log) * (k.Receipt - k.Log) / float64(len(known))
	}
	var parts judges
	for _, k := range known {
		o := m.look(k.Port, k.Item, k.Day)
		parts.add(m, h, &o, verdict{truth: k.Log, receipt: k.Receipt, unit: k.Log, spread: math.Sqrt(spread)})
	}
	return Evaluation{Cut: in.Day.String(), Learned: m.Learned(), Parts: parts.parts()}
}

// verdict is what estimates of a pair are held against.
type verdict struct {
	truth, receipt float64 // in the usual pack
	unit           float64 // as habits see it
	spread         float64 // sd of receipts about the truth, 0 unknown
}

// judges judge all pairs and those of each stratum.
type judges [strata + 1]judge

func (js *judges) add(m *Model, h *habits, o *outlook, v verdict) {
	for _, k := range []stratum{m.scored(o), strata} {
		js[k].add(m, h, o, v)
	}
}

// scored is the stratum a pair is reported under: with reports of a price it
// counts as seen, however old these are.
func (m *Model) scored(o *outlook) stratum {
	if o.cell != nil && !o.cell.newest.IsZero() {
		return seenCell
	}
	return max(m.stratum(o), seenPort)
}

func (js *judges) parts() []Part {
	out := []Part{js[strata].part("all")}
	for k, name := range stratumNames {
		if js[k].n > 0 {
			out = append(out, js[k].part(name))
		}
	}
	return out
}

// judge sums up pairs.
type judge struct {
	n     int
	sums  [1 + habitCount]sums
	truth float64
}

type sums struct{ square, absolute, inside, probability float64 }

func (s *sums) add(off, offReceipt, sd float64) {
	s.square += off * off
	s.absolute += math.Abs(off)
	if math.Abs(offReceipt) <= z80*sd {
		s.inside++
	}
	s.probability += crpsNormal(offReceipt/sd) * sd
}

func (j *judge) add(m *Model, h *habits, o *outlook, v verdict) {
	j.n++
	j.sums[0].add(v.truth-o.mean, v.receipt-o.mean, m.receiptSD(o))
	port, item := m.names(o)
	known := h.stage(port, item)
	for k, g := range h.guess(port, item) {
		j.sums[1+k].add(v.unit-g, v.unit+v.receipt-v.truth-g, h.sd[k][known])
	}
	if v.spread > 0 {
		j.truth += crpsNormal((v.receipt-v.truth)/v.spread) * v.spread
	}
}

// names are the ids of an outlook's port and item, empty when unknown.
func (m *Model) names(o *outlook) (port pricing.PortID, item pricing.ItemID) {
	if o.port >= 0 {
		port = m.fit.portOf[o.port].ID
	}
	if o.item >= 0 {
		item = m.fit.itemOf[o.item].ID
	}
	return port, item
}

// crpsNormal is the continuous ranked probability score of the standard normal
// at z (Gneiting & Raftery, JASA 102, 2007, 359–378, eq. 21).
func crpsNormal(z float64) float64 {
	return z*(2*below0(z)-1) + 2*density(z) - 1/math.Sqrt(math.Pi)
}

func (j *judge) part(name string) Part {
	p := Part{Name: name, Pairs: j.n}
	if j.n == 0 {
		return p
	}
	n := float64(j.n)
	for k, who := range append([]string{"model"}, habitNames[:]...) {
		s := j.sums[k]
		p.Scores = append(p.Scores, Score{who, math.Sqrt(s.square / n), s.absolute / n, s.inside / n, s.probability / n})
	}
	best, probable := math.Inf(1), math.Inf(1)
	for _, s := range p.Scores[1:] {
		best, probable = min(best, s.RMSE), min(probable, s.CRPS)
	}
	p.Ratio, p.CRPSRatio, p.TruthCRPS = p.Scores[0].RMSE/best, p.Scores[0].CRPS/probable, j.truth/n
	return p
}

// byDay sorts by day and id.
func byDay(reports []pricing.Report) []pricing.Report {
	slices.SortFunc(reports, func(a, b pricing.Report) int {
		return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.ID, b.ID))
	})
	return reports
}

func sortedKeys[V any](m map[[2]string]V) [][2]string {
	out := make([][2]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.SortFunc(out, func(a, b [2]string) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
	return out
}
