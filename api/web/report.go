package web

import (
	"errors"
	"fmt"
	"net/http"
	"regexp"
	"slices"
	"strconv"

	"github.com/google/uuid"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/money"
)

// reportPage takes a whole receipt, line by line.
type reportPage struct {
	Frame
	Faults  []string
	Done    string
	Receipt string // UUID: the same page sent twice is recorded once
	Port    routeRow
	Day     string
	Money   string
	Monies  []string
	Shop    string
	Sources []choice
	Rows    []reportEntry
}

// reportEntry is one line asked for.
type reportEntry struct {
	N           int
	Text, ID    string
	Price, Pack string
	None        bool

	Fault   string
	Choices []portChoice
}

const (
	reportRows    = 6
	maxReportRows = 100
)

func (s *site) getReport(q *request) error {
	p := &reportPage{Day: q.svc.Today().String(), Sources: q.choices("source", sources, "receipt").Of}
	for n := range reportRows {
		p.Rows = append(p.Rows, reportEntry{N: n})
	}
	if at, err := q.svc.Port(q.r.Context(), pricing.PortID(q.text("port"))); q.text("port") != "" && err == nil {
		p.Port = routeRow{Text: at.Name, ID: string(at.ID)}
		p.Money = string(at.Currency)
	}
	if n, err := strconv.Atoi(q.text("done")); err == nil {
		p.Done = q.words.Count("report.done", n)
	}
	return q.showReport(http.StatusOK, p)
}

var sources = []string{"receipt", "shelf", "memory"}

func (q *request) showReport(status int, p *reportPage) error {
	v, err := q.voyage()
	if err != nil {
		return err
	}
	_, rates, err := q.svc.RatesOn(q.r.Context(), q.svc.Today())
	if err != nil {
		return err
	}
	for _, r := range rates {
		p.Monies = append(p.Monies, string(r.Currency))
	}
	if p.Receipt == "" {
		p.Receipt = uuid.NewString()
	}
	return q.show(status, "report", q.frame(q.say("report.title"), "prices", v.ID), p)
}

func (s *site) postReport(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	p := &reportPage{
		Receipt: q.text("receipt"), Day: q.text("day"), Money: q.text("money"), Shop: q.text("shop"),
		Sources: q.choices("source", sources, q.text("source")).Of, Port: routeRow{Text: q.text("port0"), ID: q.text("id0")},
	}
	for n := 0; n < maxReportRows && q.r.Form.Has("item"+strconv.Itoa(n)); n++ {
		key := strconv.Itoa(n)
		p.Rows = append(p.Rows, reportEntry{
			N: n, Text: q.text("item" + key), ID: q.text("iid" + key), Price: q.text("price" + key), Pack: q.text("pack" + key), None: q.text("none"+key) != "",
		})
	}
	if q.text("do") == "rows" {
		for range reportRows {
			p.Rows = append(p.Rows, reportEntry{N: len(p.Rows)})
		}
		return q.showReport(http.StatusOK, p)
	}
	return q.record(p)
}

// record records the receipt, or shows it again with what is not clear.
func (q *request) record(p *reportPage) error {
	r, rows, err := q.readReport(p)
	if err != nil {
		return err
	}
	if len(p.Faults) == 0 {
		done, err := q.svc.RecordReceipt(q.r.Context(), r)
		var invalid *api.InvalidError
		if err == nil && len(done.Questions) > 0 {
			return q.goTo("voyage", q.r.PathValue("voyage"), fmt.Sprintf("asked?recorded=%d", done.New+done.Same))
		}
		if err == nil {
			return q.goTo("voyage", q.r.PathValue("voyage"), fmt.Sprintf("report?done=%d", done.New+done.Same))
		}
		if !errors.As(err, &invalid) {
			return err
		}
		q.placeFaults(p, invalid, rows)
	}
	return q.showReport(http.StatusUnprocessableEntity, p)
}

// readReport understands the form. rows are the rows of the receipt's lines.
func (q *request) readReport(p *reportPage) (api.Receipt, []int, error) {
	r := api.Receipt{ID: p.Receipt, Currency: p.Money, Shop: p.Shop}
	for _, c := range p.Sources {
		if c.On {
			r.Source = pricing.Source(c.Value)
		}
	}
	me, err := q.svc.Me(q.r.Context())
	if err != nil {
		return r, nil, err
	}
	r.Reporter = me
	g, err := q.svc.Gazetteer(q.r.Context())
	if err != nil {
		return r, nil, err
	}
	at, ok := q.meant(g, &p.Port)
	if !ok {
		p.Faults = append(p.Faults, p.Port.Fault)
	}
	r.Port = string(at.ID)
	if r.Currency == "" {
		r.Currency, p.Money = string(at.Currency), string(at.Currency)
	}
	if r.Day, err = calendar.Parse(p.Day); err != nil {
		p.Faults = append(p.Faults, q.say("start.fault.day"))
	}
	var rows []int
	for i := range p.Rows {
		row := &p.Rows[i]
		if row.Text == "" {
			continue
		}
		it, ok := q.meantItem(row)
		if !ok {
			p.Faults = append(p.Faults, row.Fault)
			continue
		}
		rows = append(rows, i)
		r.Lines = append(r.Lines, q.lineOf(row, it, p))
	}
	if len(rows) == 0 && len(p.Faults) == 0 {
		p.Faults = append(p.Faults, q.say("receipt.empty"))
	}
	return r, rows, nil
}

func (q *request) lineOf(row *reportEntry, it item.Item, p *reportPage) api.Line {
	line := api.Line{Item: string(it.ID), Found: pricing.FoundNone}
	if row.None {
		return line
	}
	line.Found, line.Pack, line.Amount = pricing.FoundYes, row.Pack, row.Price
	if line.Pack == "" {
		line.Pack = it.ListPack.Format(it.Unit)
	}
	if paid, err := money.Parse(row.Price, money.Currency(p.Money)); err == nil {
		line.Amount = paid.Decimal()
	}
	return line
}

// meantItem is the item of a row: the one chosen before, as long as the text
// was not changed since, or the only one it can mean.
func (q *request) meantItem(row *reportEntry) (item.Item, bool) {
	c := q.svc.World().Catalogue
	if it, ok := c.Item(pricing.ItemID(row.ID)); ok && (q.text("iasked"+strconv.Itoa(row.N)) == row.Text || it.Name == row.Text || q.words.goods(it) == row.Text) {
		return it, true
	}
	if it, ok := c.Named(row.Text); ok {
		row.ID = string(it.ID)
		return it, true
	}
	row.ID, row.Fault = "", q.say("start.fault.which", row.Text)
	for i, it := range c.Search(row.Text, maxLike) {
		row.Choices = append(row.Choices, portChoice{string(it.ID), q.words.goods(it), i == 0})
	}
	if len(row.Choices) == 0 {
		row.Fault = q.say("prices.nothing", row.Text)
	}
	return item.Item{}, false
}

var linePath = regexp.MustCompile(`^lines\[(\d+)\]\.`)

// placeFaults puts each fault beside the row it is about.
func (q *request) placeFaults(p *reportPage, e *api.InvalidError, rows []int) {
	for _, f := range e.Faults {
		m := linePath.FindStringSubmatch(f.Path)
		if m == nil {
			p.Faults = append(p.Faults, f.String())
			continue
		}
		n, _ := strconv.Atoi(m[1]) // only digits
		row := &p.Rows[rows[n]]
		row.Fault = f.Problem
		p.Faults = append(p.Faults, row.Text+": "+f.Problem)
	}
	slices.Sort(p.Faults)
}
