// Package ahead says where along the rest of a voyage a thing is sold: at what
// price, how surely, how far on, and whether it would still keep.
//
// Prices are in the skipper's home currency per unit of the item when bought in
// its usual pack; days count from the departure of the stop asked from.
package ahead

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/route"
	"hardtack/route/brief"
	"hardtack/route/geo"
	"hardtack/route/port"
	"hardtack/route/vessel"
)

// ErrUnknown is an item or need the catalogue does not have, or a stop the
// voyage does not have.
var ErrUnknown = errors.New("unknown")

// sells is the least availability for which a stop counts as the next place
// that sells a thing.
const sells = 0.5

// Input is what the question is put to.
type Input struct {
	Itinerary route.Itinerary
	Ports     brief.Ports
	Catalogue *item.Catalogue
	Prices    *pricing.Table
	Vessel    vessel.Vessel
	Home      money.Currency
	Rate      brief.Rate
	From      int          // index of the call asked from
	Today     calendar.Day // the age of evidence is told from here
}

// Place is one item at one stop of the voyage.
type Place struct {
	Call     int            `json:"call"` // index into the itinerary's calls
	Port     pricing.PortID `json:"port"`
	Name     string         `json:"name"`
	Item     pricing.ItemID `json:"item"`
	ItemName string         `json:"item_name"`
	Unit     measure.Unit   `json:"unit"`
	Arrive   calendar.Day   `json:"arrive"`

	Price     float64        `json:"price"` // median
	Low80     float64        `json:"low80"`
	High80    float64        `json:"high80"`
	PerNeed   float64        `json:"per_need"` // Price per need-unit; Price itself when an item was asked for
	Local     float64        `json:"local"`    // Price in Currency; 0 when there is no rate
	Currency  money.Currency `json:"currency"`
	Available float64        `json:"available"` // 0–1
	Basis     pricing.Basis  `json:"basis"`
	Guess     bool           `json:"guess"`
	Newest    calendar.Day   `json:"newest,omitzero"` // newest report; zero: none
	AgeDays   int            `json:"age_days"`        // of it; -1: none

	DistanceNM geo.NauticalMiles `json:"distance_nm"` // along the way
	Days       float64           `json:"days"`        // from departing here to arriving there

	KeepsDays float64          `json:"keeps_days"` // longest in any space of this boat, from that stop
	KeepsIn   vessel.SpaceKind `json:"keeps_in,omitempty"`
	NeededFor float64          `json:"needed_for"` // days to the next stop that sells it, or to the end
	Keeps     bool             `json:"keeps"`      // KeepsDays cover NeededFor

	Saving float64 `json:"saving"` // against buying here, as a share of the price here; 0 when not sold here
}

// Answer is what is known of a thing from one stop on.
type Answer struct {
	Here  []Place `json:"here"`  // what serves it at the stop asked from
	Ahead []Place `json:"ahead"` // the stops ahead, cheapest first
}

// Item answers for one item. Its error is ErrUnknown, or that of a missing rate.
func Item(in Input, id pricing.ItemID) (Answer, error) {
	if _, ok := in.Catalogue.Items[id]; !ok {
		return Answer{}, fmt.Errorf("item %q: %w to the catalogue", id, ErrUnknown)
	}
	return answer(in, []item.Alternate{{Item: id, Yield: 1}})
}

// Need answers for a need, whichever of its alternates serves it; prices are
// compared per need-unit.
func Need(in Input, id string) (Answer, error) {
	for _, n := range in.Catalogue.Needs {
		if n.ID == id {
			return answer(in, n.Alternates)
		}
	}
	return Answer{}, fmt.Errorf("need %q: %w to the catalogue", id, ErrUnknown)
}

func answer(in Input, alternates []item.Alternate) (Answer, error) {
	if in.From < 0 || in.From >= len(in.Itinerary.Calls) {
		return Answer{}, fmt.Errorf("stop %d: %w to the voyage, which has %d", in.From, ErrUnknown, len(in.Itinerary.Calls))
	}
	perRef := 1.0
	if in.Home != in.Prices.Currency {
		var err error
		if perRef, _, err = in.Rate(in.Home); err != nil {
			return Answer{}, fmt.Errorf("home currency %s: %w", in.Home, err)
		}
	}
	w := walker{Input: in, perRef: perRef, keeper: brief.NewKeeper(in.Itinerary, in.Ports, in.Vessel)}
	return w.walk(alternates), nil
}

type walker struct {
	Input
	perRef float64
	keeper brief.Keeper
}

func (w walker) walk(alternates []item.Alternate) Answer {
	var a Answer
	for c := w.From; c < len(w.Itinerary.Calls); c++ {
		for _, alt := range alternates {
			p, ok := w.place(c, alt)
			switch {
			case !ok:
			case c == w.From:
				a.Here = append(a.Here, p)
			default:
				a.Ahead = append(a.Ahead, p)
			}
		}
	}
	cheapest := func(x, y Place) int { return cmp.Or(cmp.Compare(x.PerNeed, y.PerNeed), cmp.Compare(x.Call, y.Call)) }
	slices.SortStableFunc(a.Here, cheapest)
	slices.SortStableFunc(a.Ahead, cheapest)
	if len(a.Here) > 0 {
		here := a.Here[0].PerNeed
		for i := range a.Ahead {
			a.Ahead[i].Saving = (here - a.Ahead[i].PerNeed) / here
		}
	}
	return a
}

func (w walker) estimate(c int, id pricing.ItemID) (pricing.Estimate, port.Port, bool) {
	p, ok := w.Ports.Port(w.Itinerary.Calls[c].Port)
	if !ok || p.Size == port.NoShop || w.Itinerary.Calls[c].NoShops {
		return pricing.Estimate{}, p, false
	}
	e, ok := w.Prices.At(p.ID, id)
	return e, p, ok && e.Price > 0
}

func (w walker) place(c int, alt item.Alternate) (Place, bool) {
	e, p, ok := w.estimate(c, alt.Item)
	i, known := w.Catalogue.Items[alt.Item]
	if !ok || !known || alt.Yield <= 0 {
		return Place{}, false
	}
	call := w.Itinerary.Calls[c]
	pl := Place{
		Call: c, Port: p.ID, Name: p.Name, Item: i.ID, ItemName: i.Name, Unit: i.Unit,
		Arrive: w.Itinerary.Start + calendar.Day(call.Arrive),
		Price:  e.Price * w.perRef, Low80: e.Low80 * w.perRef, High80: e.High80 * w.perRef,
		PerNeed: e.Price * w.perRef / alt.Yield, Currency: p.Currency, Local: w.local(e, p.Currency),
		Available: e.Available, Basis: e.Basis, Guess: e.Basis == pricing.BasisGuess,
		Newest: e.Newest, AgeDays: -1,
		Days: call.Arrive - w.Itinerary.Calls[w.From].Depart,
	}
	if !e.Newest.IsZero() {
		pl.AgeDays = int(w.Today - e.Newest)
	}
	for _, way := range w.Itinerary.Ways[w.From:c] {
		pl.DistanceNM += way.DistanceNM
	}
	pl.KeepsDays, pl.KeepsIn = w.keeper.Longest(i, call.Depart)
	pl.NeededFor = w.neededFor(c, alt.Item)
	pl.Keeps = pl.KeepsDays >= pl.NeededFor
	if c == w.From {
		pl.Days = 0
	}
	return pl, true
}

func (w walker) local(e pricing.Estimate, c money.Currency) float64 {
	if c == w.Prices.Currency {
		return e.Price
	}
	rate, _, err := w.Rate(c)
	if err != nil {
		return 0
	}
	return e.Price * rate
}

// neededFor is how long what is bought at a call must keep: to the next stop
// that is likely to sell it, or to the end of the voyage.
func (w walker) neededFor(c int, id pricing.ItemID) float64 {
	calls := w.Itinerary.Calls
	for n := c + 1; n < len(calls); n++ {
		if e, _, ok := w.estimate(n, id); ok && e.Available >= sells {
			return calls[n].Arrive - calls[c].Depart
		}
	}
	return calls[len(calls)-1].Depart - calls[c].Depart
}
