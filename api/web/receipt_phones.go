package web

import (
	"fmt"
	"slices"
	"strings"

	"hardtack/api"
	"hardtack/pricing/money"
	"hardtack/route/shopping"
)

// spaceField is the field of a form that says where a line goes.
func spaceField(t api.DraftLine) string { return "space." + string(t.Item) + "|" + string(t.For) }

// state is what a receipt's page shows in its fields.
func (p *receiptPage) state() lineState {
	out := lineState{"shop": p.Shop, "day": p.Day, "sum": p.Sum, "money": string(p.Currency)}
	for _, row := range p.Rows {
		for _, c := range row.Spaces {
			if c.On {
				out["space."+row.Key] = c.Value
			}
		}
	}
	return out
}

// seen tells one state of a receipt's lines from another, wherever they go.
func seen(d api.Draft) string {
	var b strings.Builder
	for _, t := range d.Lines {
		fmt.Fprintf(&b, "%q %q %t %t %q %q %q\n", t.Item, t.For, t.Got, t.None, t.Price, t.Pack, t.Count)
	}
	return fingerprint([]byte(b.String()))
}

// keepReceipt puts into the draft what was changed since the page was made.
// Given back is what another phone has changed to something else meanwhile: that
// is left for people to choose.
func (q *request) keepReceipt(d *api.Draft, l shopping.List, x api.Planned) lineState {
	into := map[string]*string{"shop": &d.Shop, "day": &d.Day, "sum": &d.Sum, "money": &d.Money}
	for i, t := range d.Lines {
		into[spaceField(t)] = &d.Lines[i].Space
	}
	sent, known := q.r.Form["was"]
	if !known {
		for field, to := range into {
			*to = q.text(field)
		}
		return nil
	}
	was, kept, against := stateOf(sent[0]), q.receipt(l, *d, x).state(), lineState{}
	for field, to := range into {
		_, there := q.r.Form[field]
		switch typed := q.text(field); {
		case !there || typed == was[field]:
		case kept[field] == was[field] || kept[field] == typed:
			*to = typed
		default:
			against[field] = typed
		}
	}
	return against
}

// rivalReceipt shows beside what is kept what could not be, and asks whoever
// would confirm a receipt with other lines than the page had.
func (q *request) rivalReceipt(p *receiptPage, against lineState) {
	kept := stateOf(p.Was)
	beside := func(field, key string, show *string) {
		if typed, ok := against[field]; ok {
			p.Rivals = true
			p.Faults = append(p.Faults, q.say("receipt.rival", q.say(key), kept[field]))
			*show = typed
		}
	}
	beside("shop", "receipt.shop", &p.Shop)
	beside("day", "receipt.day", &p.Day)
	beside("sum", "receipt.sum", &p.Sum)
	paid := string(p.Currency)
	beside("money", "receipt.money", &paid)
	p.Currency = money.Currency(paid)
	for i := range p.Monies {
		p.Monies[i].On = p.Monies[i].Value == paid
	}
	for _, row := range p.Rows {
		typed, ok := against["space."+row.Key]
		if !ok {
			continue
		}
		at := slices.IndexFunc(row.Spaces, func(c choice) bool { return c.On })
		if at >= 0 {
			p.Rivals = true
			p.Faults = append(p.Faults, q.say("receipt.rival", row.Name, row.Spaces[at].Label))
		}
		for i := range row.Spaces {
			row.Spaces[i].On = row.Spaces[i].Value == typed
		}
	}
	if lines, known := q.r.Form["seen"]; known && q.text("do") == "confirm" && lines[0] != p.Seen {
		p.Rivals = true
		p.Faults = append(p.Faults, q.say("receipt.changed"))
	}
}
