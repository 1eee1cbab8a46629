package web

import (
	"errors"
	"net/http"
	"strconv"
	"strings"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/route/inventory"
	"hardtack/route/vessel"
)

// countPage is the sheet to count by, locker by locker, and after it was sent
// what the count says.
type countPage struct {
	Frame
	Lockers []countLocker
	Into    []choice
	Causes  []choice
	Marks   []choice
	New     []countRow
	Day     string
	All     bool // what is left empty is as the book says
	Faults  []string

	Counted bool
	Lines   []string
	Agree   int // things counted as the book had them
	Learned []string
}

type countLocker struct {
	Name string
	Rows []countRow
}

// countRow is a lot to count. What was typed comes back.
type countRow struct {
	N                           int
	Item, Name, Space, Locker   string
	Best                        string
	Book, Raw                   string // as the reader writes it, and as a count is read
	Amount, Spoilt, Place, Text string
	Marks, Causes               []choice
}

// marksOf are the words of the audit after a passage; spoilt is one of them here.
const spoiltMark = "spoilt"

func (q *request) marks(on string) []choice {
	out := []choice{{"", q.say("mark."), on == ""}}
	for _, m := range inventory.Marks() {
		out = append(out, choice{string(m), q.say("mark." + strings.ReplaceAll(string(m), " ", "_")), string(m) == on})
	}
	return append(out, choice{spoiltMark, q.say("mark.spoilt"), on == spoiltMark})
}

func (s *site) getCount(q *request) error {
	return q.showCount(http.StatusOK, &countPage{Day: q.svc.Today().String()})
}

func (q *request) showCount(status int, p *countPage) error {
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	lots, err := q.svc.Aboard(q.r.Context(), v.ID)
	if err != nil {
		return err
	}
	lockers, err := q.svc.Lockers(q.r.Context(), v.ID)
	if err != nil {
		return err
	}
	if p.Into, err = q.places(v, ""); err != nil {
		return err
	}
	f := q.aboardFrame("count.title")
	n := 0
	for _, place := range countOrder(v, lockers.Value, lots.Value) {
		row := countLocker{Name: q.placeName(place)}
		for _, l := range lots.Value {
			if l.Place() == place {
				row.Rows = append(row.Rows, q.countRow(&f, n, l))
				n++
			}
		}
		if len(row.Rows) > 0 {
			p.Lockers = append(p.Lockers, row)
		}
	}
	for k := range newRows {
		p.New = append(p.New, countRow{N: k, Text: q.text("new" + strconv.Itoa(k)), Amount: q.text("newamount" + strconv.Itoa(k)), Place: q.text("newplace" + strconv.Itoa(k))})
	}
	return q.show(status, "count", f, p)
}

// newRows are free lines for what the book does not have.
const newRows = 3

// countOrder is the places in the order one opens them.
func countOrder(v vessel.Vessel, lockers []vessel.Locker, lots []inventory.Lot) []string {
	var out []string
	seen := map[string]bool{}
	add := func(p string) {
		if !seen[p] {
			seen[p] = true
			out = append(out, p)
		}
	}
	for _, sp := range v.Spaces {
		for _, k := range lockers {
			if k.Space == sp.ID {
				add(k.ID)
			}
		}
		add(sp.ID)
	}
	for _, l := range lots {
		add(l.Place())
	}
	return out
}

func (q *request) countRow(f *Frame, n int, l inventory.Lot) countRow {
	field := func(name string) string { return q.text(name + strconv.Itoa(n)) }
	row := countRow{
		N: n, Item: string(l.Item), Name: string(l.Item), Space: l.Space, Locker: l.Locker, Best: l.BestBefore.String(),
		Amount: field("amount"), Spoilt: field("spoilt"), Marks: q.marks(field("mark")), Causes: q.causes(inventory.Cause(field("cause"))),
	}
	if i, err := q.svc.Item(l.Item); err == nil {
		row.Name, row.Book, row.Raw = q.words.Item(l.Item, i.Name), f.Much(l.Quantity.Units(), i.Unit), l.Quantity.Format(i.Unit)
	}
	return row
}

// postCount takes a count: a file if there is one, else the form.
func (s *site) postCount(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	c, _, err := q.crew()
	if err != nil && !errors.Is(err, api.ErrNotFound) {
		return err
	}
	p := &countPage{Day: q.text("day"), All: q.text("all") != ""}
	o := api.CountOptions{Crew: c.ID, Partial: true}
	if p.Day != "" {
		if o.Day, err = calendar.Parse(p.Day); err != nil {
			p.Faults = append(p.Faults, q.say("start.fault.day"))
		}
	}
	body, _, isFile := q.file("csv")
	if !isFile {
		if body, err = q.countFile(p); err != nil {
			return err
		}
	}
	if len(p.Faults) > 0 {
		return q.showCount(http.StatusUnprocessableEntity, p)
	}
	done, err := q.svc.Count(q.r.Context(), v.ID, body, o, api.AnyRevision)
	var invalid *api.InvalidError
	if errors.As(err, &invalid) {
		p.Faults = q.faultLines(invalid)
		return q.showCount(http.StatusUnprocessableEntity, p)
	}
	if err != nil {
		return err
	}
	f := q.aboardFrame("count.title")
	q.explainCount(&f, p, done.Value)
	return q.show(http.StatusOK, "count", f, p)
}
