package web

import (
	"cmp"
	"net/http"
	"slices"
	"strconv"
	"sync"

	"hardtack/api"
	"hardtack/pricing/item"
	"hardtack/pricing/money"
	"hardtack/route/chance"
	"hardtack/route/risk"
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
	Wishes        []choice
	Keeping       *risk.Keeping
	Kept          []keptRow
}

// keptRow is the reserve of a kind that meets the wish.
type keptRow struct {
	Name            string
	Days            float64
	Before, Reached string
	Met             bool
}

// wishes are the chances that can be asked for, in percent.
var wishes = [...]string{"90", "95", "98", "99"}

type riskRow struct {
	Name         string
	P, Low, High float64
	Lacking      float64
	Unit         string
	Each, Bare   float64 // of stays and legs; of what no shop passed had
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
	v, k, err := q.planned()
	if err != nil {
		return err
	}
	wish := wishOf(q.r.URL.Query().Get("wish"))
	r, err := q.walk(v.ID, k.Revision, wish)
	if err != nil {
		return err
	}
	f := q.frame(q.say("risk.title"), "season", v.ID)
	p := riskPage{Home: v.Home, Walks: r.Report.Walks, Mean: r.Report.Spent.Mean, Lo: r.Report.Spent.P10, Hi: r.Report.Spent.P90}
	for _, c := range []item.Necessity{item.Safety, item.Staple, item.Comfort, item.Luxury} {
		if share, ok := r.Report.Classes[c]; ok {
			row := riskOf(q.say("class."+string(c)), share)
			row.Each, row.Bare = r.Report.Periods[c].Short, r.Report.Periods[c].Bare
			p.Classes = append(p.Classes, row)
		}
	}
	p.keep(q, &f, r.Keeping, wish)
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

// wishOf reads a wish in percent; 0 for none that can be asked for.
func wishOf(percent string) float64 {
	x, err := strconv.ParseFloat(percent, 64)
	if err != nil || !slices.Contains(wishes[:], percent) {
		return 0
	}
	return x / 100
}

// keep lays out the reserve that meets a wish.
func (p *riskPage) keep(q *request, f *Frame, k *risk.Keeping, wish float64) {
	for _, w := range wishes {
		p.Wishes = append(p.Wishes, choice{Value: w, Label: w + " %", On: w == strconv.FormatFloat(100*wish, 'f', 0, 64)})
	}
	p.Keeping = k
	if k == nil {
		return
	}
	for _, c := range k.Classes {
		p.Kept = append(p.Kept, keptRow{Name: q.say("class." + string(c.Class)), Days: c.Days,
			Before: f.Num(100*c.Before, 1) + " %", Reached: f.Num(100*c.Reached, 1) + " %", Met: c.Met})
	}
}

func (q *request) walk(voyage string, revision int64, wish float64) (api.Risky, error) {
	q.walked.Lock()
	defer q.walked.Unlock() // one walk at a time: each uses the whole machine
	if k, ok := q.walked.last[voyage]; ok && k.Revision == revision && (wish == 0 || k.Value.Keeping != nil && k.Value.Keeping.Wished == wish) {
		if wish == 0 {
			k.Value.Keeping = nil
		}
		return k.Value, nil
	}
	r, err := q.svc.Risk(q.r.Context(), voyage, api.RiskOptions{Walks: walks, Wish: wish})
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
		c.Names = append(c.Names, mark{4, y + 14, clipped(r.Name, 16)})
		c.Sums = append(c.Sums, mark{barsX + w + 6, y + 14, f.Percent(r.P)})
		y += barRow
	}
	c.H = max(y, barRow)
	return c
}
