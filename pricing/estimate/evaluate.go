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

// Score is how far log prices of later reports were from what was said before.
type Score struct {
	Name string  `json:"name"`
	RMSE float64 `json:"rmse"`
	MAE  float64 `json:"mae"`
}

// Part scores some of the later reports.
type Part struct {
	Name     string  `json:"name"` // all, or what was known of the pair before
	Reports  int     `json:"reports"`
	Scores   []Score `json:"scores"`   // the model first, then the simple habits
	Coverage float64 `json:"coverage"` // share inside the model's 80 % interval
	CRPS     float64 `json:"crps"`     // of the model's normal on the log scale
}

// Evaluation is a trial forward in time: the model and simple habits learn
// from the reports of the first four fifths, and are judged by those of the
// better sources in the last fifth that are no probable slips.
type Evaluation struct {
	Cut     string `json:"cut"` // last day learned from
	Learned int    `json:"learned"`
	Parts   []Part `json:"parts"`
}

var stratumNames = [strata]string{"pair with reports", "port with reports", "country with reports", "country without reports"}

// Evaluate tries the model on in. The error is ErrFew.
func Evaluate(in Input) (Evaluation, error) {
	past, later, ok := split(&in)
	if !ok {
		return Evaluation{}, ErrFew
	}
	m, h := Fit(past), newHabits(&past)
	out := Evaluation{Cut: past.Day.String(), Learned: len(past.Reports)}
	var parts [strata + 1]judge
	for _, t := range m.trials(later) {
		for _, k := range []stratum{m.stratum(&t.outlook), strata} {
			parts[k].add(m, h, &t)
		}
	}
	out.Parts = append(out.Parts, parts[strata].part("all"))
	for k, name := range stratumNames {
		if parts[k].n > 0 {
			out.Parts = append(out.Parts, parts[k].part(name))
		}
	}
	return out, nil
}

// judge sums up trials.
type judge struct {
	n                   int
	square, absolute    [1 + 4]float64
	inside, probability float64
}

func (j *judge) add(m *Model, h *habits, t *trial) {
	j.n++
	sd := m.widen.of(m.stratum(&t.outlook)) * math.Sqrt(t.variance+tNoise*m.fit.noise2)
	if math.Abs(t.off()) <= z80*sd {
		j.inside++
	}
	j.probability += crpsNormal(t.off()/sd) * sd
	for k, e := range append([]float64{t.off()}, t.habitErrors(m, h)...) {
		j.square[k] += e * e
		j.absolute[k] += math.Abs(e)
	}
}

// habitErrors are those of the habits, which speak of unit prices as paid.
func (t *trial) habitErrors(m *Model, h *habits) []float64 {
	y, _ := logUnitPrice(m.fit.in, t.report) // a trial has one
	out := h.guess(t.report.Port, t.report.Item)
	for k, guess := range out {
		out[k] = y - guess
	}
	return out
}

// crpsNormal is the continuous ranked probability score of the standard normal
// at z (Gneiting & Raftery, JASA 102, 2007, 359–378, eq. 21).
func crpsNormal(z float64) float64 {
	return z*(2*below0(z)-1) + 2*density(z) - 1/math.Sqrt(math.Pi)
}

func (j *judge) part(name string) Part {
	p := Part{Name: name, Reports: j.n}
	if j.n == 0 {
		return p
	}
	n := float64(j.n)
	p.Coverage, p.CRPS = j.inside/n, j.probability/n
	for k, who := range append([]string{"model"}, habitNames...) {
		p.Scores = append(p.Scores, Score{who, math.Sqrt(j.square[k] / n), j.absolute[k] / n})
	}
	return p
}

// byDay sorts by day and id.
func byDay(reports []pricing.Report) []pricing.Report {
	slices.SortFunc(reports, func(a, b pricing.Report) int {
		return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.ID, b.ID))
	})
	return reports
}
