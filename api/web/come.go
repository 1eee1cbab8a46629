package web

import (
	"errors"
	"net/http"
	"strings"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/route/inventory"
)

// comePage is something that came aboard.
type comePage struct {
	Frame
	Item, Amount, Pack, Best, Party, Paid, Currency string
	Loan                                            bool
	Hows, Into, Purposes, Like                      []choice
	Faults                                          []string
}

func (s *site) getCome(q *request) error {
	return q.showCome(http.StatusOK, &comePage{Item: q.text("item")}, "", "", "")
}

func (q *request) showCome(status int, p *comePage, to, how, purpose string) error {
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	if p.Into, err = q.places(v, to); err != nil {
		return err
	}
	for _, k := range []inventory.MoveKind{inventory.Bought, inventory.Got, inventory.Caught, inventory.Found} {
		p.Hows = append(p.Hows, choice{string(k), q.say("come." + string(k)), string(k) == how})
	}
	for _, x := range []inventory.Purpose{inventory.Eaten, inventory.Barter, inventory.Emergency, inventory.Bonded} {
		p.Purposes = append(p.Purposes, choice{string(x), q.say("for." + string(x)), string(x) == purpose})
	}
	return q.show(status, "come", q.aboardFrame("come.title"), p)
}

func (s *site) postCome(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	p := &comePage{
		Item: q.text("item"), Amount: q.text("amount"), Pack: q.text("pack"), Best: q.text("best"), Party: q.text("party"),
		Paid: q.text("paid"), Currency: strings.ToUpper(q.text("currency")), Loan: q.text("loan") != "",
	}
	again := func(faults ...string) error {
		p.Faults = faults
		return q.showCome(http.StatusUnprocessableEntity, p, q.text("to"), q.text("how"), q.text("for"))
	}
	id, like := q.itemMeant(p.Item)
	if id == "" {
		p.Like = like
		return again(q.say("prices.nothing", p.Item))
	}
	e := api.ActEntry{
		Kind: inventory.MoveKind(q.text("how")), Item: id, Amount: p.Amount, Pack: p.Pack, To: q.text("to"), Party: p.Party, Loan: p.Loan,
		For: inventory.Purpose(q.text("for")), Paid: p.Paid,
	}
	if p.Paid != "" {
		e.Currency = p.Currency
	}
	if p.Best != "" {
		if e.BestBefore, err = calendar.Parse(p.Best); err != nil {
			return again(q.say("start.fault.day"))
		}
	}
	_, err = q.svc.Act(q.r.Context(), v.ID, e)
	var invalid *api.InvalidError
	if errors.As(err, &invalid) {
		return again(q.faultLines(invalid)...)
	}
	if err != nil {
		return err
	}
	return q.goTo("aboard?did=came")
}

// itemMeant is the item a text means: its id, or the only one found by it;
// else what it may mean.
func (q *request) itemMeant(text string) (string, []choice) {
	if i, err := q.svc.Item(pricing.ItemID(text)); err == nil {
		return string(i.ID), nil
	}
	if text == "" {
		return "", nil
	}
	found := q.svc.Items(text, 8)
	for _, i := range found {
		if strings.EqualFold(i.Name, text) || len(found) == 1 {
			return string(i.ID), nil
		}
	}
	var like []choice
	for _, i := range found {
		like = append(like, choice{Value: string(i.ID), Label: i.Name})
	}
	return "", like
}
