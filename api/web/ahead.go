package web

import (
	"net/http"
	"net/url"
	"strconv"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/money"
	"hardtack/route"
)

// aheadPage says where along the rest of the voyage a thing is sold.
type aheadPage struct {
	Frame
	Home   money.Currency
	Query  string
	From   []choice
	Like   []link
	Item   item.Item
	Found  bool
	Rows   []priceRow
	Chart  intervalChart
	Common []link
}

func (s *site) getAhead(q *request) error {
	v, err := q.voyage()
	if err != nil {
		return err
	}
	p := aheadPage{Home: v.Home, Query: q.text("item")}
	from, _ := q.number("from", 0)
	calls := min(max(int(from), 0), len(v.Stops)-1)
	g, err := q.svc.Gazetteer(q.r.Context())
	if err != nil {
		return err
	}
	for i, stop := range v.Stops {
		at, _ := g.Port(stop.Port)
		p.From = append(p.From, choice{strconv.Itoa(i), strconv.Itoa(i+1) + ". " + at.Name, i == calls})
	}
	f := q.frame(q.say("ahead.title"), "ashore", v.ID)
	if p.Query != "" {
		if err := q.lookAhead(&f, &p, v, calls); err != nil {
			return err
		}
	}
	for _, id := range []string{"rice_white", "flour_white", "milk_uht", "egg_unwashed", "coffee_ground_vac", "potato", "bread_sliced"} {
		if it, err := q.svc.Item(pricing.ItemID(id)); err == nil {
			p.Common = append(p.Common, link{q.aheadTo(v.ID, it, calls), q.words.goods(it)})
		}
	}
	return q.show(http.StatusOK, "ahead", f, &p)
}

func (q *request) aheadTo(voyage string, it item.Item, from int) string {
	return q.at("voyage", voyage, "ahead?item="+url.QueryEscape(string(it.ID))+"&from="+strconv.Itoa(from))
}

func (q *request) lookAhead(f *Frame, p *aheadPage, v route.Voyage, from int) error {
	found := q.svc.Items(p.Query, 8)
	if len(found) == 0 {
		return nil
	}
	p.Found, p.Item = true, found[0]
	p.Item.Name = q.words.goods(p.Item)
	for _, it := range found[1:] {
		p.Like = append(p.Like, link{q.aheadTo(v.ID, it, from), q.words.goods(it)})
	}
	a, err := q.svc.AheadItem(q.r.Context(), v.ID, p.Item.ID, from)
	if err != nil {
		return err
	}
	for _, pl := range append(a.Here, a.Ahead...) {
		row := priceRow{
			Call: pl.Call, Port: string(pl.Port), Name: pl.Name, Arrive: pl.Arrive, Price: pl.Price, Low: pl.Low80, High: pl.High80,
			Local: pl.Local, Money: string(pl.Currency), Available: pl.Available, Basis: pl.Basis, Mark: marks[pl.Basis], Age: pl.AgeDays,
			Here: pl.Call == from, Days: pl.Days, Distance: float64(pl.DistanceNM), Saving: pl.Saving, ItemName: q.words.Item(pl.Item, pl.ItemName),
			Keeps: q.say("ahead.keeps.no", f.Num(pl.KeepsDays, 0), f.Num(pl.NeededFor, 0)),
		}
		if pl.Keeps {
			row.Keeps = q.say("ahead.keeps.yes", f.Num(pl.NeededFor, 0))
		}
		p.Rows = append(p.Rows, row)
	}
	p.Chart = newIntervals(f, p.Rows)
	return nil
}
