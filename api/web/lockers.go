package web

import (
	"errors"
	"net/http"
	"net/url"
	"slices"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/route/inventory"
	"hardtack/route/vessel"
)

// lockersPage is what lies where, with one field to find a thing.
type lockersPage struct {
	Frame
	None    bool // no boat is entered yet
	Query   string
	Found   []lotRow
	Lockers []lockerRow
	Empty   []lockerRow
	Done    string
}

type lockerRow struct {
	Name, About string
	Lots        []lotRow
}

// lotRow is a lot as a page shows it.
type lotRow struct {
	To, Name, Much, Place string
	For                   string // barter, emergency, bonded, in words
	Best, Opened          calendar.Day
}

func (s *site) getLockers(q *request) error {
	p := &lockersPage{Query: q.text("find"), Done: q.doneWords()}
	v, _, err := q.vessel()
	if errors.Is(err, api.ErrNotFound) {
		p.None = true
		return q.show(http.StatusOK, "lockers", q.aboardFrame("aboard.title"), p)
	}
	if err != nil {
		return err
	}
	f := q.aboardFrame("aboard.title")
	if p.Query != "" {
		spots, err := q.svc.Find(q.r.Context(), v.ID, p.Query)
		if err != nil {
			return err
		}
		for _, x := range spots {
			p.Found = append(p.Found, q.lotRow(&f, x.Lot))
		}
	}
	rows, err := q.lockerRows(&f, v)
	if err != nil {
		return err
	}
	for _, r := range rows {
		if len(r.Lots) > 0 {
			p.Lockers = append(p.Lockers, r)
		} else {
			p.Empty = append(p.Empty, r)
		}
	}
	return q.show(http.StatusOK, "lockers", f, p)
}

// aboardFrame is the frame of a page about what is aboard.
func (q *request) aboardFrame(title string) Frame {
	return q.frame(q.say(title), "aboard", q.voyageHere())
}

// lockerRows are the lockers with what lies in them, and below them what lies
// in a space but in no locker of it.
func (q *request) lockerRows(f *Frame, v vessel.Vessel) ([]lockerRow, error) {
	lots, err := q.svc.Aboard(q.r.Context(), v.ID)
	if err != nil {
		return nil, err
	}
	lockers, err := q.svc.Lockers(q.r.Context(), v.ID)
	if err != nil {
		return nil, err
	}
	var out []lockerRow
	take := func(name, about string, mine func(inventory.Lot) bool) {
		row := lockerRow{Name: name, About: about}
		for _, l := range lots.Value {
			if mine(l) {
				row.Lots = append(row.Lots, q.lotRow(f, l))
			}
		}
		slices.SortStableFunc(row.Lots, func(a, b lotRow) int { return compare(a.Name, b.Name) })
		out = append(out, row)
	}
	for _, k := range lockers.Value {
		take(k.ID, q.lockerWords(f, k), func(l inventory.Lot) bool { return l.Locker == k.ID && l.Space == k.Space })
	}
	for _, sp := range v.Spaces {
		take(q.placeName(sp.ID), "", func(l inventory.Lot) bool { return l.Locker == "" && l.Space == sp.ID })
	}
	if v.WaterTankL > 0 {
		take(q.placeName(string(vessel.Tank)), "", func(l inventory.Lot) bool {
			return l.Space == string(vessel.Tank) && !slices.ContainsFunc(v.Spaces, func(s vessel.Space) bool { return s.ID == l.Space })
		})
	}
	return slices.DeleteFunc(out, func(r lockerRow) bool { return r.About == "" && len(r.Lots) == 0 }), nil
}

// lockerWords say what a locker is like.
func (q *request) lockerWords(f *Frame, k vessel.Locker) string {
	text := q.placeName(k.Space)
	if k.Litres > 0 {
		text += ", " + f.Volume(k.Litres)
	}
	for _, is := range []struct {
		on  bool
		key string
	}{{k.Wet, "locker.wet"}, {k.Hot, "locker.hot"}, {k.Low, "locker.low"}, {k.AtSea, "locker.at_sea"}, {k.Sealed, "locker.sealed"}} {
		if is.on {
			text += ", " + q.say(is.key)
		}
	}
	if k.Side != "" {
		text += ", " + q.say("side."+string(k.Side))
	}
	return text
}

// placeName is a space by its name aboard; one that is called as its kind is,
// by its id or in English, by the reader's word for it.
func (q *request) placeName(id string) string {
	for _, k := range vessel.Kinds() {
		if key := "space." + string(k); id == string(k) || id == q.shown.words[languages[0]].Say(key) {
			return q.say(key)
		}
	}
	return id
}

func (q *request) lotRow(f *Frame, l inventory.Lot) lotRow {
	i, err := q.svc.Item(l.Item)
	row := lotRow{To: q.at("aboard", "lot", url.PathEscape(l.ID)), Name: string(l.Item), Place: q.placeName(l.Place()), Best: l.BestBefore, Opened: l.Opened}
	if err == nil {
		row.Name, row.Much = q.words.Item(l.Item, i.Name), f.Much(l.Quantity.Units(), i.Unit)
	}
	if l.For != inventory.Eaten {
		row.For = q.say("for." + string(l.For))
	}
	return row
}

// muchOf is so many units of an item.
func (q *request) muchOf(f *Frame, id pricing.ItemID, amount float64) string {
	i, err := q.svc.Item(id)
	if err != nil {
		return f.Num(amount, 1)
	}
	return f.Much(amount, i.Unit)
}

// places are the lockers and spaces goods can lie in, for a form.
func (q *request) places(v vessel.Vessel, on string) ([]choice, error) {
	lockers, err := q.svc.Lockers(q.r.Context(), v.ID)
	if err != nil {
		return nil, err
	}
	var out []choice
	for _, k := range lockers.Value {
		out = append(out, choice{k.ID, k.ID, k.ID == on})
	}
	for _, sp := range v.Spaces {
		out = append(out, choice{sp.ID, q.placeName(sp.ID), sp.ID == on})
	}
	return out, nil
}

// doneWords say what a form before did, from the address it led to.
func (q *request) doneWords() string {
	if key := "did." + q.text("did"); q.text("did") != "" && q.words.Has(key) {
		return q.say(key)
	}
	return ""
}
