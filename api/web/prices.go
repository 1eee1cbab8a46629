package web

import (
	"net/http"
	"slices"

	"hardtack/api"
	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/money"
	"hardtack/route"
)

// pricesPage is what is believed of prices, port by item.
type pricesPage struct {
	Frame
	Home   money.Currency
	Query  string
	Aisle  string
	Aisles []choice
	Ports  []column
	Rows   []matrixRow
	Asked  int // reports held back that wait for an answer
}

// column is a port of the voyage.
type column struct{ ID, Name string }

type matrixRow struct {
	Item, Name string
	Unit       string
	Cells      []priceRow
}

// maxMatrix is how many items are shown at once.
const maxMatrix = 40

func (s *site) getPrices(q *request) error {
	v, err := q.voyage()
	if err != nil {
		return err
	}
	p := pricesPage{Home: v.Home, Query: q.text("q"), Aisle: q.text("aisle")}
	items, err := q.wanted(&p)
	if err != nil {
		return err
	}
	if p.Ports, err = q.portsOf(v); err != nil {
		return err
	}
	for _, it := range items {
		cells, err := q.priceRows(v, it, p.Ports)
		if err != nil {
			return err
		}
		p.Rows = append(p.Rows, matrixRow{string(it.ID), q.words.goods(it), q.words.Unit(string(it.Unit)), cells})
	}
	held, err := q.svc.Questioned(q.r.Context())
	if err != nil {
		return err
	}
	p.Asked = len(held)
	return q.show(http.StatusOK, "prices", q.frame(q.say("prices.title"), "prices", v.ID), &p)
}

// wanted are the items searched for, or those of an aisle.
func (q *request) wanted(p *pricesPage) ([]item.Item, error) {
	aisles, err := q.svc.Aisles(q.r.Context())
	if err != nil {
		return nil, err
	}
	if !slices.Contains(aisles, p.Aisle) {
		p.Aisle = "staple"
	}
	for _, a := range aisles {
		p.Aisles = append(p.Aisles, choice{a, q.aisle(a), a == p.Aisle})
	}
	if p.Query != "" {
		return q.svc.Items(p.Query, maxMatrix), nil
	}
	var out []item.Item
	for _, it := range q.svc.Items("", 1000) {
		if it.Category == p.Aisle && len(out) < maxMatrix {
			out = append(out, it)
		}
	}
	return out, nil
}

// portsOf are the ports of a voyage, each once.
func (q *request) portsOf(v route.Voyage) ([]column, error) {
	g, err := q.svc.Gazetteer(q.r.Context())
	if err != nil {
		return nil, err
	}
	var out []column
	for _, s := range v.Stops {
		at, _ := g.Port(s.Port)
		if p := (column{string(at.ID), at.Name}); !slices.Contains(out, p) {
			out = append(out, p)
		}
	}
	return out, nil
}

// priceRows is what is believed of an item at each port today.
func (q *request) priceRows(v route.Voyage, it item.Item, ports []column) ([]priceRow, error) {
	var pairs []api.Pair
	for _, p := range ports {
		pairs = append(pairs, api.Pair{Port: pricing.PortID(p.ID), Item: it.ID})
	}
	_, es, err := q.svc.Estimates(q.r.Context(), pairs)
	if err != nil {
		return nil, err
	}
	per, err := q.perReference(v.Home)
	if err != nil {
		return nil, err
	}
	var out []priceRow
	for i, e := range es {
		row := priceRow{
			Call: i, Port: ports[i].ID, Name: ports[i].Name, Price: e.Price * per, Low: e.Low80 * per, High: e.High80 * per,
			Available: e.Available, Evidence: e.Evidence, Basis: e.Basis, Mark: marks[e.Basis], Age: -1, ItemName: q.words.goods(it),
		}
		if !e.Newest.IsZero() {
			row.Age = int(q.svc.Today() - e.Newest)
		}
		out = append(out, row)
	}
	return out, nil
}

// perReference is today's home money for one of the reference currency.
func (q *request) perReference(c money.Currency) (float64, error) {
	reference, rates, err := q.svc.RatesOn(q.r.Context(), q.svc.Today())
	if err != nil {
		return 0, err
	}
	for _, r := range rates {
		if r.Currency == c {
			return r.PerReference, nil
		}
	}
	if c == reference {
		return 1, nil
	}
	return 0, api.ErrNotFound
}

// cellPage is one item at one port: the belief, its reason and its reports.
type cellPage struct {
	Frame
	Home     money.Currency
	Item     item.Item
	Port     string
	PortID   string
	Believed priceRow
	Reason   string
	Rows     []priceRow
	Chart    intervalChart
	Reports  []reportRow
	Pack     string
}

type reportRow struct {
	ID, What, Shop, Note string
	Day                  calendar.Day
	Source               string
	Own                  bool
}

// maxReports is how many reports of a cell are shown, newest first.
const maxReports = 30

func (s *site) getCell(q *request) error {
	v, err := q.voyage()
	if err != nil {
		return err
	}
	it, err := q.svc.Item(pricing.ItemID(q.r.PathValue("item")))
	if err != nil {
		return err
	}
	at, err := q.svc.Port(q.r.Context(), pricing.PortID(q.r.PathValue("port")))
	if err != nil {
		return err
	}
	it.Name = q.words.goods(it)
	p := cellPage{Home: v.Home, Item: it, Port: at.Name, PortID: string(at.ID)}
	ports, err := q.portsOf(v)
	if err != nil {
		return err
	}
	if !slices.Contains(ports, column{string(at.ID), at.Name}) {
		ports = append(ports, column{string(at.ID), at.Name})
	}
	if p.Rows, err = q.priceRows(v, it, ports); err != nil {
		return err
	}
	for i := range p.Rows {
		if p.Rows[i].Port == string(at.ID) {
			p.Rows[i].Here = true
			p.Believed = p.Rows[i]
		}
	}
	p.Reason = q.say("basis."+string(p.Believed.Basis), q.frameNum(p.Believed.Evidence))
	f := q.frame(it.Name+", "+at.Name, "prices", v.ID)
	p.Pack = f.Sold(it.PackLabel(it.ListPack))
	p.Chart = newIntervals(&f, p.Rows)
	if p.Reports, err = q.reportsOf(&f, at.ID, it); err != nil {
		return err
	}
	return q.show(http.StatusOK, "cell", f, &p)
}

func (q *request) frameNum(x float64) string {
	f := q.frame("", "", "")
	return f.Num(x, 1)
}

func (q *request) reportsOf(f *Frame, at pricing.PortID, it item.Item) ([]reportRow, error) {
	me, err := q.svc.Me(q.r.Context())
	if err != nil {
		return nil, err
	}
	rs, _, err := q.svc.Reports(q.r.Context(), db.Filter{Port: at, Item: it.ID}, db.Cursor{}, maxReports)
	if err != nil {
		return nil, err
	}
	var out []reportRow
	for _, r := range rs {
		row := reportRow{ID: r.ID, Shop: r.Shop, Note: r.Note, Day: r.Day, Source: q.say("source." + string(r.Source)), Own: r.Reporter == me && r.Found != pricing.Withdrawn}
		row.What = q.say("found." + string(r.Found))
		if r.Found == pricing.FoundYes {
			row.What = f.point(r.Paid.Decimal()) + " " + string(r.Paid.Currency) + " / " + f.Much(r.Pack.Units(), it.Unit)
		}
		out = append(out, row)
	}
	return out, nil
}

// postWithdraw takes an own report back.
func (s *site) postWithdraw(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	me, err := q.svc.Me(q.r.Context())
	if err != nil {
		return err
	}
	if _, err := q.svc.Withdraw(q.r.Context(), q.text("report"), me, q.svc.Today()); err != nil {
		return err
	}
	return q.goTo("voyage", q.r.PathValue("voyage"), "prices", q.r.PathValue("port"), q.r.PathValue("item"))
}
