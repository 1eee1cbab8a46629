package web

import (
	"fmt"
	"time"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/route/brief"
)

// sheetChart is the season as a strip in time: stays and legs, who is aboard,
// what is spent, how full each space is, what goes short. Its table is the
// stops of the season page.
type sheetChart struct {
	W, H   float64
	Months []mark
	Stays  []box
	Buys   []box
	Crew   string // path
	CrewY  float64
	Most   string // spent at the dearest stop
	Panels []panel
	Short  []mark
	Rules  []span
	Lanes  []mark
}

// panel is one space: what lies in it against its room.
type panel struct {
	Name, Room   string
	Top, Base, H float64
	Area         string
	Full         float64 // share at its fullest, 0–1
}

const (
	sheetW   = 960.0
	gutter   = 118.0
	laneStay = 24.0
	laneCrew = 62.0
	laneBuy  = 100.0
	lanesEnd = 158.0
	panelH   = 40.0
	panelGap = 16.0
)

// spanOf is the whole time of a plan in days.
func spanOf(x api.Planned) float64 {
	return max(1, x.Brief.Stops[len(x.Brief.Stops)-1].Depart)
}

func (q *request) newSheet(f *Frame, x api.Planned, rows []stopRow, levels []brief.Level) sheetChart {
	w, days := q.words, spanOf(x)
	at := func(day float64) float64 { return px(gutter + (sheetW-gutter-6)*day/days) }
	c := sheetChart{W: sheetW, CrewY: laneCrew}
	c.Months = months(w, x.Notes.Start, days, at)
	for i, s := range x.Notes.Stops {
		c.Stays = append(c.Stays, box{X: at(s.Arrive), Y: laneStay, W: max(2, px(at(s.Depart)-at(s.Arrive))), H: 20, Label: s.Name, N: rows[i].N})
	}
	c.Crew = crewPath(x, rows, at)
	c.buys(f, x, rows, at)
	y := lanesEnd + 4
	for _, l := range levels {
		c.Panels = append(c.Panels, newPanel(w, f, l, x, y, at))
		y += panelH + panelGap
	}
	for _, m := range q.lacksWhen(x) {
		c.Short = append(c.Short, mark{at(m.X), laneStay + 30, m.Label})
	}
	c.H = y
	for _, m := range c.Months {
		c.Rules = append(c.Rules, span{m.X, 14, m.X, y})
	}
	c.Lanes = []mark{{4, laneStay + 15, w.Say("sheet.stays")}, {4, laneCrew + 20, w.Say("sheet.crew")}, {4, laneBuy + 44, w.Say("sheet.spend")}}
	return c
}

func months(w *Words, start calendar.Day, days float64, at func(float64) float64) []mark {
	var out []mark
	t := start.Time()
	first := time.Date(t.Year(), t.Month()+1, 1, 0, 0, 0, 0, time.UTC)
	for n := 0; n < 36; n++ {
		day := float64(calendar.Of(first.AddDate(0, n, 0)) - start)
		if day > days {
			break
		}
		month := int(first.AddDate(0, n, 0).Month())
		out = append(out, mark{at(day), 12, w.Say(fmt.Sprintf("month.%d", month))})
	}
	return out
}

// crewPath steps along the people aboard, four pixels each, at most 28.
func crewPath(x api.Planned, rows []stopRow, at func(float64) float64) string {
	most := 1.0
	for _, r := range rows {
		most = max(most, r.Crew)
	}
	base := laneCrew + 30
	var p pen
	p.to('M', at(0), base)
	for i, s := range x.Notes.Stops {
		y := base - 28*rows[i].Crew/most
		end := s.Depart
		if i+1 < len(x.Notes.Stops) {
			end = x.Notes.Stops[i+1].Arrive
		}
		p.to('L', at(s.Arrive), y)
		p.to('L', at(end), y)
	}
	p.to('L', at(spanOf(x)), base)
	p.WriteByte('Z')
	return p.String()
}

func (c *sheetChart) buys(f *Frame, x api.Planned, rows []stopRow, at func(float64) float64) {
	most := 0.0
	for _, r := range rows {
		most = max(most, r.Spend)
	}
	if most == 0 {
		return
	}
	c.Most = f.Round(most, x.Notes.Home)
	for i, r := range rows {
		s := x.Notes.Stops[i]
		h := px(48 * r.Spend / most)
		mid := (at(s.Arrive) + at(s.Depart)) / 2
		c.Buys = append(c.Buys, box{X: px(mid - 4), Y: px(laneBuy + 50 - h), W: 8, H: h, Label: f.Round(r.Spend, x.Notes.Home), N: r.N})
	}
}

func newPanel(w *Words, f *Frame, l brief.Level, x api.Planned, y float64, at func(float64) float64) panel {
	p := panel{Name: w.Say("space." + l.Space), Room: f.Much(coarse(l.Room), measure.Litre), Top: y, Base: y + panelH, H: panelH}
	level := func(v float64) float64 { return p.Base - panelH*min(1.05, v/max(l.Room, 1e-9)) }
	var d pen
	d.to('M', at(0), p.Base)
	for i, s := range x.Brief.Stops {
		d.to('L', at(s.Arrive), level(l.Arriving[i]))
		d.to('L', at(s.Depart), level(l.Leaving[i]))
		p.Full = max(p.Full, l.Leaving[i]/max(l.Room, 1e-9))
	}
	d.to('L', at(spanOf(x)), p.Base)
	d.WriteByte('Z')
	p.Area = d.String()
	return p
}

// lacksWhen are the periods in which a need goes unmet, by the day they begin.
func (q *request) lacksWhen(x api.Planned) []mark {
	names := map[string]string{}
	for _, l := range x.Lacking() {
		names[l.Need] = q.needName(x, l.Need)
	}
	var out []mark
	at := map[float64]int{}
	for _, m := range x.Plan.Missing {
		name, worth := names[m.Need]
		day, ok := periodBegins(x, m.Period)
		if !worth || !ok {
			continue
		}
		if i, there := at[day]; there {
			out[i].Label += ", " + name
			continue
		}
		at[day] = len(out)
		out = append(out, mark{X: day, Label: name})
	}
	return out
}

// periodBegins is the day a period ("stay 3", "leg 2") begins.
func periodBegins(x api.Planned, period string) (float64, bool) {
	var n int
	if _, err := fmt.Sscanf(period, "stay %d", &n); err == nil && n >= 0 && n < len(x.Brief.Stops) {
		return x.Brief.Stops[n].Arrive, true
	}
	if _, err := fmt.Sscanf(period, "leg %d", &n); err == nil && n >= 0 && n < len(x.Brief.Stops) {
		return x.Brief.Stops[n].Depart, true
	}
	return 0, false
}
