package web

import (
	"net/http"
	"strings"

	"hardtack/api"
	"hardtack/route/shopping"
)

// fedPage is the plan's energy and protein beside what the crew needs, and
// whose label is to be read for whom.
type fedPage struct {
	Frame
	Empty, Older  bool // nobody eats aboard; the plan is of an older version
	Kcal, Need    string
	Share         string
	Protein, Safe string
	Low, High     bool // by more than is usual
	LowProtein    bool
	Chart         fedChart
	Parts         []fedRow
	Persons       []eaterRow
	Diets         []dietRow
}

type fedRow struct {
	Name, Days, PersonDays    string
	Kcal, Need, Share         string
	Protein, Safe             string
	ShortEnergy, ShortProtein bool
}

type eaterRow struct {
	Name, Age, Days            string
	Rest, Usual, Hard, Protein string
}

// dietRow is somebody who does not eat everything.
type dietRow struct {
	Name, Avoids string
	Read         []string
	NotOf        string
}

// fedChart is the energy of each stay and leg as a share of the need; its table
// is the rows.
type fedChart struct {
	barChart
	Need float64 // x of the whole need
}

func (s *site) getFed(q *request) error {
	v, k, err := q.planned()
	if err != nil {
		return err
	}
	x := q.svc.FeedingOf(k.Value)
	f := q.frame(q.say("fed.title"), "season", v.ID)
	p := &fedPage{Empty: x.PersonDays == 0, Older: x.PersonDays > 0 && len(x.Parts) == 0}
	p.Kcal, p.Need = f.Num(x.Kcal, 0), f.Num(x.KcalNeed, 0)
	p.Protein, p.Safe = f.Num(x.ProteinG, 0), f.Num(x.ProteinMin, 0)
	if x.KcalNeed > 0 {
		share := x.Kcal / x.KcalNeed
		p.Share, p.Low, p.High, p.LowProtein = f.Percent(share), share < 1-api.Tolerance, share > 1+api.Tolerance, x.ProteinG < x.ProteinMin
	}
	for _, part := range x.Parts {
		p.Parts = append(p.Parts, q.fedRow(&f, part))
	}
	p.Chart = newFedChart(&f, p.Parts, x.Parts)
	for _, e := range x.Persons {
		p.eater(q, &f, e)
	}
	return q.show(http.StatusOK, "fed", f, p)
}

func (q *request) fedRow(f *Frame, x api.FedPart) fedRow {
	row := fedRow{
		Name: q.say("fed.stay", x.Name), Days: f.Short(x.First) + " – " + f.Short(x.Last), PersonDays: f.Num(x.PersonDays, 0),
		Kcal: f.Num(x.Kcal, 0), Need: f.Num(x.KcalNeed, 0), Share: f.Percent(x.Kcal / x.KcalNeed),
		Protein: f.Num(x.ProteinG, 0), Safe: f.Num(x.ProteinMin, 0),
		ShortEnergy: x.Kcal < (1-api.Tolerance)*x.KcalNeed, ShortProtein: x.ProteinG < x.ProteinMin,
	}
	if x.AtSea {
		row.Name = q.say("fed.leg", x.Name, x.Next)
	}
	return row
}

// widest is the largest share drawn whole: what is more is cut there.
const widest = 1.5

func newFedChart(f *Frame, rows []fedRow, parts []api.FedPart) fedChart {
	const room = barsW - barsX - 60
	c := fedChart{barChart{W: barsW}, px(barsX + room/widest)}
	y := 4.0
	for k, r := range rows {
		share := min(widest, parts[k].Kcal/parts[k].KcalNeed)
		w := px(room * share / widest)
		c.Bars = append(c.Bars, box{X: barsX, Y: y, W: w, H: barRow - 8})
		c.Names = append(c.Names, mark{4, y + 14, clipped(r.Name, 16)})
		c.Sums = append(c.Sums, mark{max(barsX+w, c.Need) + 6, y + 14, r.Share})
		y += barRow
	}
	c.H = max(y, barRow)
	return c
}

func (p *fedPage) eater(q *request, f *Frame, e api.Eater) {
	row := eaterRow{Name: e.Name, Age: f.Num(e.Age, 0), Days: f.Num(e.Days, 0), Usual: f.Num(e.Kcal, 0), Protein: f.Num(e.ProteinG, 0)}
	if e.KcalHard > 0 {
		row.Rest, row.Hard = f.Num(e.KcalRest, 0), f.Num(e.KcalHard, 0)
	}
	p.Persons = append(p.Persons, row)
	if len(e.NotEating) == 0 {
		return
	}
	d := dietRow{Name: e.Name, Avoids: q.avoids(f, e.NotEating)}
	for _, r := range e.Read {
		name := q.words.Item(r.Item, r.Name)
		if len(e.NotEating) > 1 {
			name = q.say("fed.read", name, q.avoids(f, r.For))
		}
		d.Read = append(d.Read, name)
	}
	var not []string
	for _, n := range e.NotOf {
		not = append(not, q.words.Item(n.Item, n.Name))
	}
	d.NotOf = strings.Join(not, "; ")
	p.Diets = append(p.Diets, d)
}

// avoids names what somebody does not eat.
func (q *request) avoids(f *Frame, words []string) string {
	return f.Tongue().Fact(shopping.AllAvoided(words))
}
