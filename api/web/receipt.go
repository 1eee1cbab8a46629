package web

import (
	"errors"
	"net/http"
	"slices"
	"strconv"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
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
	p, err := q.receipt(l, d.Value, x)
	if err != nil {
		return err
	}
	return q.showReceipt(http.StatusOK, x.Voyage, p)
}

func (q *request) showReceipt(status int, voyage string, p *receiptPage) error {
	return q.show(status, "receipt", q.frame(q.say("receipt.title", p.Name), "ashore", voyage), p)
}

// receipt understands a draft. What cannot be understood is a fault of its row.
func (q *request) receipt(l shopping.List, d api.Draft, x api.Planned) (*receiptPage, error) {
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
	return p, nil
}

// planned is the line of the list a typed line is about: its own, or the one
// it was taken for.
func planned(l shopping.List, t api.DraftLine) (shopping.Line, bool) {
	id := t.Item
	if t.For != "" {
		id = t.For
	}
	for _, line := range l.Lines {
		if line.Item == id {
			return line, true
		}
	}
	return shopping.Line{}, false
}

func (q *request) receiptRow(f *Frame, p *receiptPage, l shopping.List, t api.DraftLine, x api.Planned) receiptRow {
	row := receiptRow{Key: string(t.Item) + "|" + string(t.For), Name: string(t.Item), None: t.None}
	it, err := q.svc.Item(t.Item)
	if err != nil {
		row.Fault = q.say("receipt.unknown")
		return row
	}
	row.Name = it.Name
	if t.None {
		row.What = q.say("receipt.none")
		row.line = &api.Line{Item: string(it.ID), Found: pricing.FoundNone}
		return row
	}
	pack, count, fault := q.packsOf(l, t, it)
	if fault != "" {
		row.Fault = fault
		return row
	}
	row.What = strconv.Itoa(count) + " × " + f.Much(pack.Units(), it.Unit)
	if t.Price != "" {
		paid, err := money.Parse(t.Price, p.Currency)
		if err != nil || paid.Minor <= 0 {
			row.Fault = q.say("shop.bad_price", t.Price, p.Currency)
			return row
		}
		row.minor = paid.Minor * int64(count)
		row.Sum = f.point(money.Amount{Minor: row.minor, Currency: p.Currency}.Decimal())
		row.line = &api.Line{Item: string(it.ID), Amount: paid.Decimal(), Pack: pack.Format(it.Unit)}
	}
	q.stow(&row, l, t, it, bought{pack, count}, p.Receipt, x)
	return row
}

// packsOf is the pack and the number of a typed line; what was not typed is as
// planned.
func (q *request) packsOf(l shopping.List, t api.DraftLine, it item.Item) (pack measure.Quantity, count int, fault string) {
	line, ok := planned(l, t)
	pack, amount := it.ListPack, it.ListPack.Units()
	switch {
	case ok && t.For == "":
		pack, amount = line.MainPack(), line.Amount
	case ok:
		for _, in := range line.Instead {
			if in.Item == t.Item {
				pack, amount = in.Packs.Pack, in.Packs.Pack.Units()*float64(in.Packs.Count)
			}
		}
	}
	if t.Pack != "" {
		met, err := measure.ParsePack(t.Pack, it.Unit)
		if err != nil {
			return 0, 0, q.say("shop.bad_pack", t.Pack, packExample[it.Unit])
		}
		pack = met
	}
	count = countOf(amount, pack)
	if t.Count != "" {
		n, err := strconv.Atoi(t.Count)
		if err != nil || n < 1 || n > 9999 {
			return 0, 0, q.say("receipt.bad_count", t.Count)
		}
		count = n
	}
	return pack, count, ""
}

// bought is so many equal packs.
type bought struct {
	pack  measure.Quantity
	count int
}

// eatenHere is the choice of a space for what never goes into one.
const eatenHere = "-"

// stow says where a line goes: as typed, else as planned.
func (q *request) stow(row *receiptRow, l shopping.List, t api.DraftLine, it item.Item, b bought, receipt string, x api.Planned) {
	space := t.Space
	if line, ok := planned(l, t); space == "" && ok && len(line.Stow) > 0 {
		space = line.Stow[0].Space
	}
	if space == "" {
		space = eatenHere
	}
	row.Spaces = append(row.Spaces, choice{eatenHere, q.say("receipt.eaten"), space == eatenHere})
	for _, sp := range x.Notes.Spaces {
		row.Spaces = append(row.Spaces, choice{sp.ID, q.say("space." + sp.ID), space == sp.ID})
	}
	if space != eatenHere {
		row.lot = &api.LotEntry{ID: receipt + "." + string(it.ID), Item: string(it.ID), Space: space, Amount: (b.pack * measure.Quantity(b.count)).Format(it.Unit), Pack: b.pack.Format(it.Unit)}
	}
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
	kept, err := q.svc.ChangeDraft(q.r.Context(), x.Voyage, l.Stop, func(d *api.Draft) {
		if d.Receipt != q.text("receipt") {
			return // a page of a receipt that was confirmed meanwhile
		}
		d.Shop, d.Day, d.Sum, d.Money = q.text("shop"), q.text("day"), q.text("sum"), q.text("money")
		for i, t := range d.Lines {
			d.Lines[i].Space = q.text("space." + string(t.Item) + "|" + string(t.For))
		}
	})
	if err != nil {
		return err
	}
	if kept.Value.Receipt != q.text("receipt") { // sent twice: it is done
		return q.goTo("voyage", x.Voyage, "ashore", strconv.Itoa(l.Stop))
	}
	p, err := q.receipt(l, kept.Value, x)
	if err != nil {
		return err
	}
	if len(p.Faults) > 0 || q.text("do") != "confirm" {
		status := http.StatusOK
		if len(p.Faults) > 0 {
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
			landing.Lots = append(landing.Lots, *r.lot)
		}
	}
	done, err := q.svc.BringAboard(q.r.Context(), landing)
	var invalid *api.InvalidError
	if errors.As(err, &invalid) {
		p.Faults = faultLines(invalid)
		return q.showReceipt(http.StatusUnprocessableEntity, x.Voyage, p)
	}
	if err != nil {
		return err
	}
	if _, err := q.svc.Booked(q.r.Context(), x.Voyage, l.Stop, p.Receipt); err != nil {
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
