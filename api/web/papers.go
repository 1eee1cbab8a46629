package web

import (
	"bytes"
	"net/http"
	"strconv"
	"strings"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/route/shopping"
)

// papersPage is what can be printed or carried, and the way back from it.
type papersPage struct {
	Frame
	Lists  []link
	Faults []string
	Back   string // what came back

	Against []carriedLine // what did not, because something else is kept
	Text    string        // of the carried list, to be sent again with what is chosen
}

func (s *site) getPapers(q *request) error {
	p := &papersPage{}
	if lines, lists, ok := strings.Cut(q.text("back"), "."); ok {
		n, _ := strconv.Atoi(lines)
		m, _ := strconv.Atoi(lists)
		p.Back = q.say("papers.back.done", n, m)
	}
	return q.showPapers(http.StatusOK, p)
}

func (q *request) showPapers(status int, p *papersPage) error {
	v, err := q.voyage()
	if err != nil {
		return err
	}
	lists, err := q.svc.List(q.r.Context(), v.ID, api.EveryStop)
	if err != nil {
		return err
	}
	for _, l := range lists.Lists {
		p.Lists = append(p.Lists, link{q.at("voyage", v.ID, "ashore", strconv.Itoa(l.Stop), "sheet"), l.Name + ", " + l.Arrive.String()})
	}
	return q.show(status, "papers", q.frame(q.say("papers.title"), "papers", v.ID), p)
}

// getCarry is all lists as one file for a phone that does not reach the boat.
func (s *site) getCarry(q *request) error {
	v, err := q.voyage()
	if err != nil {
		return err
	}
	lists, err := q.svc.List(q.r.Context(), v.ID, api.EveryStop)
	if err != nil {
		return err
	}
	f := q.frame("", "", "")
	var b bytes.Buffer
	if err := lists.WriteHTMLIn(&b, f.Tongue()); err != nil {
		return err
	}
	q.w.Header().Set("Content-Type", "text/html; charset=utf-8")
	q.w.Header().Set("Content-Disposition", `attachment; filename="shopping-`+v.ID+`.html"`)
	send(q.w, q.r, http.StatusOK, b.Bytes(), zipped(b.Bytes()), fingerprint(b.Bytes()))
	return nil
}

// sheetPage is one list on paper.
type sheetPage struct {
	Frame
	List     shopping.List
	Head     []string
	Sections []sheetSection
}

type sheetSection struct {
	Title string
	Lines []sheetLine
}

type sheetLine struct {
	Packs, Name, Expect, Stow, Label string
}

func (s *site) getSheet(q *request) error {
	l, _, x, err := q.listOf()
	if err != nil {
		return err
	}
	f := q.frame(q.say("shop.title", l.Name), "papers", x.Voyage)
	p := sheetPage{List: l, Head: q.shopHead(&f, l)}
	for _, w := range shopping.Whens() {
		sec := sheetSection{Title: q.say("when." + whenKeys[w])}
		for _, line := range l.Lines {
			if line.When == w {
				sec.Lines = append(sec.Lines, q.sheetLine(&f, l, line))
			}
		}
		if len(sec.Lines) > 0 {
			p.Sections = append(p.Sections, sec)
		}
	}
	return q.show(http.StatusOK, "sheet", f, &p)
}

func (q *request) sheetLine(f *Frame, l shopping.List, line shopping.Line) sheetLine {
	x := q.shopLine(f, l, line, api.Draft{}, judge{})
	out := sheetLine{Packs: x.Packs, Name: x.Name}
	out.Expect, _ = q.expected(f, l, line, 1)
	for _, st := range line.Stow {
		out.Stow = joined(out.Stow, q.say("space."+st.Space))
	}
	for _, p := range line.Labels {
		out.Label = joined(out.Label, p.Name)
	}
	return out
}

// firstPage is what aboard to eat first.
type firstPage struct {
	Frame
	Days int
	Rows []firstRow
}

type firstRow struct {
	Name, Much, Place, Reason, Cook, Caution string
	By                                       calendar.Day
	Past                                     bool
	Lost                                     string
}

// firstDays is how far a use-first sheet looks.
const firstDays = 14

func (s *site) getFirst(q *request) error {
	v, err := q.voyage()
	if err != nil {
		return err
	}
	set, err := q.svc.Settings(q.r.Context(), v.ID)
	if err != nil {
		return err
	}
	boat, crew := set.Value.Vessel, set.Value.Crew
	if boat == "" {
		b, _, err := q.vessel()
		if err != nil {
			return err
		}
		boat = b.ID
	}
	due, err := q.svc.UseFirst(q.r.Context(), boat, crew, api.Where{Voyage: v.ID}, firstDays)
	if err != nil {
		return err
	}
	f := q.frame(q.say("first.title"), "aboard", v.ID)
	p := firstPage{Days: firstDays}
	for _, d := range due {
		row := firstRow{
			Name: q.words.Item(d.Lot.Item, d.Name), Much: f.Much(d.Lot.Quantity.Units(), d.Unit), Place: d.Place, Reason: f.Tell(d.Reason), Cook: f.Tell(d.Cook), Caution: f.Tell(d.Caution), By: d.By, Past: d.Days < 0,
		}
		if d.Lost > 0 {
			row.Lost = f.Much(float64(d.Lost)/float64(measure.One), d.Unit)
		}
		p.Rows = append(p.Rows, row)
	}
	return q.show(http.StatusOK, "first", f, &p)
}
