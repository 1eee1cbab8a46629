package web

import (
	"strconv"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/route/shopping"
)

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

// unnamed says that something was taken for another of which only the price or
// pack was said.
func unnamed(t api.DraftLine) bool { return t.For != "" && t.Item == "" }

func (q *request) receiptRow(f *Frame, p *receiptPage, l shopping.List, t api.DraftLine, x api.Planned) receiptRow {
	row := receiptRow{Key: string(t.Item) + "|" + string(t.For), Name: string(t.Item), None: t.None}
	if unnamed(t) {
		line, _ := planned(l, t)
		row.Name, row.Fault = q.words.Item(t.For, line.Name), q.say("shop.sub.which")
		return row
	}
	it, err := q.svc.Item(t.Item)
	if err != nil {
		row.Fault = q.say("receipt.unknown")
		return row
	}
	row.Name = q.words.goods(it)
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
