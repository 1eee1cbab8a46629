package web

import (
	"errors"
	"net/http"
	"slices"
	"strconv"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
	"hardtack/route/shopping"
)

// receiptPage is what was bought at a stop, to look over and confirm.
type receiptPage struct {
	Frame
	Stop     int
	Name     string
	Receipt  string
	Currency money.Currency
	Monies   []choice
	Shop     string
	Day      string
	Sum      string
	Rows     []receiptRow
	Faults   []string
	Total    string
	Off      string // how far the total is from the sum typed
	Reports  int
	Lots     int

	Was    string // what the page was made from, to be sent back with it
	Seen   string // its lines, likewise
	Rivals bool   // another phone has said otherwise
}

// receiptRow is one line of the receipt as it was understood.
type receiptRow struct {
	Key, Name, What, Sum string
	None                 bool
	Fault                string
	Spaces               []choice

	line  *api.Line
	lot   *api.LotEntry
	minor int64
}

func (s *site) getReceipt(q *request) error {
	l, d, x, err := q.listOf()
	if err != nil {
		return err
	}
	return q.showReceipt(http.StatusOK, x.Voyage, q.receipt(l, d.Value, x))
}

func (q *request) showReceipt(status int, voyage string, p *receiptPage) error {
	return q.show(status, "receipt", q.frame(q.say("receipt.title", p.Name), "ashore", voyage), p)
}

// receipt understands a draft. What cannot be understood is a fault of its row.
func (q *request) receipt(l shopping.List, d api.Draft, x api.Planned) *receiptPage {
	p := &receiptPage{Stop: l.Stop, Name: l.Name, Receipt: d.Receipt, Currency: l.Currency, Shop: d.Shop, Day: d.Day, Sum: d.Sum}
	if d.Money != "" {
		p.Currency = money.Currency(d.Money)
	}
	for _, c := range slices.Compact([]money.Currency{l.Currency, l.Home}) {
		p.Monies = append(p.Monies, choice{string(c), string(c), c == p.Currency})
	}
	if p.Day == "" {
		p.Day = q.svc.Today().String()
	}
	f := q.frame("", "", "")
	total := money.Amount{Currency: p.Currency}
	for _, t := range d.Lines {
		row := q.receiptRow(&f, p, l, t, x)
		total.Minor += row.minor
		if row.Fault != "" {
			p.Faults = append(p.Faults, row.Name+": "+row.Fault)
		}
		if row.line != nil {
			p.Reports++
		}
		if row.lot != nil {
			p.Lots++
		}
		p.Rows = append(p.Rows, row)
	}
	p.Total = f.point(total.Decimal()) + " " + string(p.Currency)
	if sum, err := money.Parse(p.Sum, p.Currency); err == nil && sum.Minor != total.Minor {
		off := money.Amount{Minor: sum.Minor - total.Minor, Currency: p.Currency}
		p.Off = f.point(off.Decimal()) + " " + string(p.Currency)
	} else if err != nil && p.Sum != "" {
		p.Faults = append(p.Faults, q.say("shop.bad_price", p.Sum, p.Currency))
	}
	p.Was, p.Seen = p.state().text(), seen(d)
	return p
}

// postReceipt keeps what was changed, and with do=confirm records the prices
// and puts the goods aboard.
func (s *site) postReceipt(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	l, _, x, err := q.listOf()
	if err != nil {
		return err
	}
	var against lineState
	kept, err := q.svc.ChangeDraft(q.r.Context(), x, l.Stop, func(d *api.Draft) {
		if d.Receipt == q.text("receipt") { // else that one was confirmed meanwhile
			against = q.keepReceipt(d, l, x)
		}
	})
	if err != nil {
		return err
	}
	if kept.Value.Receipt != q.text("receipt") { // sent twice: it is done
		return q.goTo("voyage", x.Voyage, "ashore", strconv.Itoa(l.Stop))
	}
	p := q.receipt(l, kept.Value, x)
	q.rivalReceipt(p, against)
	if len(p.Faults) > 0 || q.text("do") != "confirm" {
		status := http.StatusOK
		if p.Rivals {
			status = http.StatusConflict
		} else if len(p.Faults) > 0 {
			status = http.StatusUnprocessableEntity
		}
		return q.showReceipt(status, x.Voyage, p)
	}
	return q.land(l, p, x)
}

// land records the receipt and puts its goods aboard.
func (q *request) land(l shopping.List, p *receiptPage, x api.Planned) error {
	day, err := calendar.Parse(p.Day)
	if err != nil {
		p.Faults = append(p.Faults, q.say("start.fault.day"))
		return q.showReceipt(http.StatusUnprocessableEntity, x.Voyage, p)
	}
	me, err := q.svc.Me(q.r.Context())
	if err != nil {
		return err
	}
	set, err := q.svc.Settings(q.r.Context(), x.Voyage)
	if err != nil {
		return err
	}
	landing := api.Landing{
		Voyage: x.Voyage, Stop: l.Stop,
		Vessel:  set.Value.Vessel,
		Receipt: api.Receipt{ID: p.Receipt, Port: string(l.Port), Day: day, Currency: string(p.Currency), Shop: p.Shop, Reporter: me},
	}
	if landing.Vessel == "" {
		v, _, err := q.vessel()
		if err != nil {
			return err
		}
		landing.Vessel = v.ID
	}
	for _, r := range p.Rows {
		if r.line != nil {
			landing.Receipt.Lines = append(landing.Receipt.Lines, *r.line)
		}
		if r.lot != nil {
			r.lot.Bought, r.lot.Port = day, string(l.Port)
			if r.minor > 0 {
				r.lot.Paid, r.lot.Currency = money.Amount{Minor: r.minor, Currency: p.Currency}.Decimal(), string(p.Currency)
			}
			landing.Lots = append(landing.Lots, *r.lot)
		}
	}
	done, err := q.svc.BringAboard(q.r.Context(), landing)
	var invalid *api.InvalidError
	if errors.As(err, &invalid) {
		p.Faults = q.faultLines(invalid)
		return q.showReceipt(http.StatusUnprocessableEntity, x.Voyage, p)
	}
	if err != nil {
		return err
	}
	if _, err := q.svc.Booked(q.r.Context(), x, l.Stop, p.Receipt); err != nil {
		return err
	}
	landed := strconv.Itoa(done.Reports.New+done.Reports.Same) + "." + strconv.Itoa(done.Lots)
	return q.goTo("voyage", x.Voyage, "ashore", strconv.Itoa(l.Stop)+"?landed="+landed)
}

// landedWords says what came of a receipt.
func (q *request) landedWords(reports, lots string) string {
	r, err := strconv.Atoi(reports)
	n, err2 := strconv.Atoi(lots)
	if err != nil || err2 != nil {
		return ""
	}
	return q.say("receipt.done", r, n)
}
