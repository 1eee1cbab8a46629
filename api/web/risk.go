package web

import (
	"cmp"
	"net/http"
	"slices"
	"sync"

	"hardtack/api"
	"hardtack/pricing/item"
	"hardtack/pricing/money"
	"hardtack/route/chance"
)

// riskPage is the season walked many times: what it may cost, what may run
// short.
type riskPage struct {
	Frame
	Home          money.Currency
	Walks         int
	Mean, Lo, Hi  float64
	Classes, Rows []riskRow
	Chart         barChart
}

type riskRow struct {
	Name         string
	P, Low, High float64
	Lacking      float64
	Unit         string
}

// walks is how many seasons a page walks: enough to tell one in ten from one
// in five, short enough to wait for.
const walks = 400

// walked are the walks made last, one for each voyage, by the plan's revision.
type walked struct {
	sync.Mutex
	last map[string]api.Kept[api.Risky]
}

func (s *site) getRisk(q *request) error {
	v, err := q.voyage()
	if err != nil {
		return err
	}
	k, err := q.svc.LastPlan(q.r.Context(), v.ID)
	if err != nil {
		return err
	}
	r, err := q.walk(v.ID, k.Revision)
	if err != nil {
		return err
	}
	f := q.frame(q.say("risk.title"), "season", v.ID)
	p := riskPage{Home: v.Home, Walks: r.Report.Walks, Mean: r.Report.Spent.Mean, Lo: r.Report.Spent.P10, Hi: r.Report.Spent.P90}
	for _, c := range []item.Necessity{item.Safety, item.Staple, item.Comfort, item.Luxury} {
		if share, ok := r.Report.Classes[c]; ok {
			p.Classes = append(p.Classes, riskOf(q.say("class."+string(c)), share))
		}
	}
	for _, n := range r.Report.Needs {
		if n.Short.Seen < 0.01 {
			continue
		}
		need, _ := findNeed(k.Value.Brief, n.Need)
		row := riskOf(q.needName(k.Value, n.Need), n.Short)
		row.Lacking, row.Unit = n.Lacking, f.Unit(need.Unit)
		p.Rows = append(p.Rows, row)
	}
	slices.SortStableFunc(p.Rows, func(a, b riskRow) int { return cmp.Compare(b.P, a.P) })
	p.Chart = riskBars(&f, p.Rows)
	return q.show(http.StatusOK, "risk", f, &p)
}

func riskOf(name string, s chance.Share) riskRow {
	return riskRow{Name: name, P: s.Seen, Low: s.Low, High: s.High}
}

func (q *request) walk(voyage string, revision int64) (api.Risky, error) {
	q.walked.Lock()
	defer q.walked.Unlock() // one walk at a time: each uses the whole machine
	if k, ok := q.walked.last[voyage]; ok && k.Revision == revision {
		return k.Value, nil
	}
	r, err := q.svc.Risk(q.r.Context(), voyage, api.RiskOptions{Walks: walks})
	if err != nil {
		return r, err
	}
	if q.walked.last == nil {
		q.walked.last = map[string]api.Kept[api.Risky]{}
	}
	q.walked.last[voyage] = api.Kept[api.Risky]{Value: r, Revision: revision}
	return r, nil
}

// maxRisks is how many bars are drawn; the table has all.
const maxRisks = 25

// riskBars are chances of running short, each as a bar.
func riskBars(f *Frame, rows []riskRow) barChart {
	c := barChart{W: barsW}
	y := 4.0
	for _, r := range rows[:min(len(rows), maxRisks)] {
		w := px((barsW - barsX - 60) * r.P)
		c.Bars = append(c.Bars, box{X: barsX, Y: y, W: w, H: barRow - 8})
		c.Names = append(c.Names, mark{4, y + 14, clipped(r.Name, 19)})
		c.Sums = append(c.Sums, mark{barsX + w + 6, y + 14, f.Percent(r.P)})
		y += barRow
	}
	c.H = max(y, barRow)
	return c
}
