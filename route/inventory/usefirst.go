package inventory

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/wording"
	"hardtack/route/keeping"
	"hardtack/route/vessel"
)

// Warmth is the temperature to reckon with where a lot lies, so many days from
// today, and where that figure comes from.
type Warmth func(l Lot, day float64) keeping.Reading

// WarmthAt is the warmth at a latitude from a day on.
func (b Boat) WarmthAt(lat float64, today calendar.Day) Warmth {
	return func(l Lot, day float64) keeping.Reading {
		locker, _ := vessel.FindLocker(b.Lockers, l.Locker)
		kind, _ := b.Vessel.KindOf(l.Space)
		return keeping.ReadingOf(locker, kind, b.Vessel, lat, (today + calendar.Day(day)).Time().YearDay())
	}
}

// Due is a lot that should be eaten, and why.
type Due struct {
	Lot     Lot              `json:"lot"`
	Name    string           `json:"name"`
	Unit    measure.Unit     `json:"unit"`
	Place   string           `json:"place"`
	Days    float64          `json:"days"` // of good quality left; below 0: past
	By      calendar.Day     `json:"by"`   // the last day it is good
	Reason  wording.Remark   `json:"reason"`
	Lost    measure.Quantity `json:"lost"` // what the usual use will not finish in time
	Cook    wording.Remark   `json:"cook,omitzero"`
	Caution wording.Remark   `json:"caution,omitzero"`
}

// Eats is how many item-units a day are usually used of an item's need, were
// that item alone to serve it.
type Eats func(item.Item) float64

// UseFirst is what should go first within the days ahead, the most urgent
// first, with the reason in words; what somebody found in a bad way goes before
// its time; besides, whatever the usual use will not finish in time. Barter, bonded and emergency goods are told of only when
// their time is up. Nothing it says is a promise of safety.
func (b Boat) UseFirst(lots []Lot, today calendar.Day, ahead float64, warm Warmth, eats Eats, looks []Look) []Due {
	var out []Due
	for _, l := range lots {
		if d, ok := b.due(l, today, warm, looks); ok {
			out = append(out, d)
		}
	}
	slices.SortStableFunc(out, func(x, y Due) int { return cmp.Or(cmp.Compare(x.Days, y.Days), cmp.Compare(x.Name, y.Name)) })
	b.losses(out, eats)
	return slices.DeleteFunc(out, func(d Due) bool {
		if d.Lot.For != Eaten {
			return d.Days > ahead
		}
		return d.Days > ahead && d.Lost == 0
	})
}

// due works out one lot; false for what is not food or nothing is known of.
func (b Boat) due(l Lot, today calendar.Day, warm Warmth, looks []Look) (Due, bool) {
	i := b.Catalogue.Items[l.Item]
	kind, _ := b.Vessel.KindOf(l.Space)
	if i.Kcal <= 0 && i.OpenedDays == 0 {
		return Due{}, false
	}
	d := Due{Lot: l, Name: i.Name, Unit: i.Unit, Place: l.Place()}
	days, why, known := b.life(l, i, kind, today, warm)
	if opened, ok := keeping.OpenedDays(i, kind); ok && !l.Opened.IsZero() {
		if left := float64(l.Opened-today) + opened; !known || left < days {
			days, known = left, true
			why = wording.Say("due.opened", ago(today-l.Opened), inDays(opened))
		}
	}
	if look, left, ok := lookedAt(l, looks, today); ok && (!known || left < days) {
		days, known = left, true
		why = wording.Say("due.looked", ago(today-look.Day), wording.Text(look.Words))
		if look.Words == "" {
			why = wording.Say("due.looked.bad", ago(today-look.Day))
		}
	}
	if !known {
		return Due{}, false
	}
	d.Days, d.Reason = days, wording.Say("due.why", sayDays(days), wording.Said(why))
	d.By = today + calendar.Day(math.Ceil(days)) - 1
	switch {
	case i.ShelfClass == "egg":
		d.Caution = keeping.EggCaution
	case keeping.NeedsCold(i) || !l.Opened.IsZero() || days < 0:
		d.Caution = keeping.Caution
	}
	return d, true
}

// life is how many days of good quality are left of a closed lot.
func (b Boat) life(l Lot, i item.Item, kind vessel.SpaceKind, today calendar.Day, warm Warmth) (days float64, why wording.Remark, known bool) {
	now := warm(l, 0)
	at := wording.Say("due.at", wording.Number(now.TempC, 0), lies(l), wording.Said(now.Source))
	if keeping.NeedsCold(i) && kind != vessel.Fridge && kind != vessel.Freezer {
		return 0, wording.Say("due.cold", lies(l)), true
	}
	tempAt := func(day float64) float64 { return warm(l, max(0, day)).TempC }
	if !l.BestBefore.IsZero() {
		left := float64(l.BestBefore-today) + 1
		why = wording.Say("due.date", wording.Day(l.BestBefore))
		if f := hotFactor(i, now.TempC); f < 0.95 && left > 0 {
			return left * f, wording.Say("due.date.hot", wording.Day(l.BestBefore), wording.Said(at)), true
		}
		return left, why, true
	}
	const horizon = 400
	if l.Bought.IsZero() {
		total, ok := keeping.Life(i, tempAt, horizon)
		return total / 2, wording.Say("due.undated", wording.Said(at)), ok
	}
	age := float64(today - l.Bought)
	total, ok := keeping.Life(i, func(day float64) float64 { return tempAt(day - age) }, horizon+age)
	switch {
	case !ok:
		return 0, wording.Remark{}, false
	case keeping.Chills(i, now.TempC):
		at = wording.Say("due.chills", wording.Said(at))
	}
	if total >= horizon+age {
		return horizon, wording.Say("due.keeps", wording.Said(at)), true
	}
	return total - age, wording.Say("due.bought", ago(today-l.Bought), inDays(total), wording.Said(at)), true
}

// hotFactor is by how much a place hotter than 20 °C shortens what the date on
// the pack promises, 0–1.
func hotFactor(i item.Item, temp float64) float64 {
	if temp <= 20 || keeping.NeedsCold(i) {
		return 1
	}
	cool, ok := keeping.DaysAt(i, 20)
	hot, ok2 := keeping.DaysAt(i, temp)
	if !ok || !ok2 || cool <= 0 {
		return 1
	}
	return min(1, hot/cool)
}

// lies is where a lot lies: a locker of the boat's own, or a kind of space.
func lies(l Lot) wording.Fact {
	if l.Locker != "" {
		return wording.Text(l.Locker)
	}
	return wording.Place(l.Space)
}

func ago(days calendar.Day) wording.Fact {
	switch {
	case days <= 0:
		return wording.Word("ago.today")
	case days == 1:
		return wording.Word("ago.yesterday")
	}
	return wording.Said(wording.Say("ago.days", wording.Count(int(days))))
}

func inDays(days float64) wording.Fact {
	return wording.Said(wording.Say("due.days", wording.Number(math.Floor(days), 0)))
}

func sayDays(days float64) wording.Fact {
	switch {
	case days < 0:
		return wording.Said(wording.Say("due.past", inDays(math.Ceil(-days))))
	case days < 1:
		return wording.Word("due.today")
	case days < 2:
		return wording.Word("due.tomorrow")
	}
	return wording.Said(wording.Say("due.good", wording.Number(math.Floor(days), 0)))
}

// losses finds what the usual use does not finish in time: of each need, the
// most urgent is eaten first and everything at the need's rate.
func (b Boat) losses(due []Due, eats Eats) {
	taken := map[string]float64{} // days of a need's use already spent
	for k := range due {
		d := &due[k]
		i := b.Catalogue.Items[d.Lot.Item]
		need, ok := b.Catalogue.NeedOf(i.ID)
		rate := eats(i)
		if !ok || d.Lot.For != Eaten {
			continue
		}
		inTime := max(0, d.Days-taken[need.ID]) * rate
		eaten := min(d.Lot.Quantity.Units(), inTime)
		if lost := measure.Of(d.Lot.Quantity.Units() - eaten); lost > speck {
			d.Lost = lost
			d.Cook = cookWords(i, *d)
		}
		if rate > 0 {
			taken[need.ID] += eaten / rate
		}
	}
}

// speck is an amount nobody would notice, a twentieth of a unit.
const speck = measure.One / 20

// cookWords says what to do with what would be lost.
func cookWords(i item.Item, d Due) wording.Remark {
	amount := wording.Amount(round(d.Lost.Units()).Units(), i.Unit)
	when := wording.Said(wording.Say("cook.by", wording.Day(d.By)))
	if d.Days < 1 {
		when = wording.Word("cook.today")
	}
	switch {
	case d.Days < 0:
		return wording.Say("cook.past")
	case strings.HasPrefix(i.ImportClass, "MEAT") || i.ImportClass == "FISH":
		return wording.Say("cook.meat", amount, when)
	case i.ShelfClass == "egg":
		return wording.Say("cook.eggs", amount, when)
	case i.Shelf.Produce:
		return wording.Say("cook.produce", amount, when)
	}
	return wording.Say("cook.other", amount, when)
}
