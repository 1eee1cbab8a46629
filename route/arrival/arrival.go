// Package arrival prepares a boat's stores for the next country: what is taken
// there, what to eat down from now, the list an officer reads, and the stores
// to be sealed.
//
// It defers to the authority throughout: a rule is shown with its source and
// age, one that nobody confirmed within a year says so, and where none was read
// it says "unknown – declare". Unknown is never shown as allowed.
package arrival

import (
	"cmp"
	"fmt"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/inventory"
	"hardtack/route/port"
)

// Caution belongs on every list of this package.
const Caution = port.Advice + " Cooking does not make a thing legal by itself. Never throw food overboard within the limits of a country " +
	"or of MARPOL Annex V."

// Rules is what is asked of the arrival rules.
type Rules interface {
	Entering(from, to port.Port, class string) (port.Rule, bool)
	Zone(id string) (port.Zone, bool)
	Authority(zone string) string
	Alcohol(zone string) []port.Allowance
}

// Verdict is what may happen to a thing at the border, worded with care.
type Verdict string

// The verdicts, the gravest first.
const (
	Refused     Verdict = "refused"     // prohibited
	Surrendered Verdict = "surrendered" // usually taken off the boat
	Unknown     Verdict = "unknown – declare"
	Conditional Verdict = "on conditions – declare and ask"
	Allowed     Verdict = "usually let in – declare"
	NoBorder    Verdict = "no border crossed"
)

var gravest = []Verdict{Refused, Surrendered, Unknown, Conditional, Allowed, NoBorder}

// Line is one thing aboard as an officer wants to read it.
type Line struct {
	Item        pricing.ItemID    `json:"item"`
	Name        string            `json:"name"`
	Amount      measure.Quantity  `json:"amount"`
	Unit        measure.Unit      `json:"unit"`
	Places      []string          `json:"places"`
	For         inventory.Purpose `json:"for,omitempty"`
	Class       string            `json:"class"`
	Verdict     Verdict           `json:"verdict"`
	Rule        port.Rule         `json:"rule"`
	Age         string            `json:"age"` // of the rule, in words
	Unconfirmed bool              `json:"unconfirmed"`
}

// Voyage is the crossing that is prepared.
type Voyage struct {
	From, To port.Port
	Today    calendar.Day
	Arrive   calendar.Day // zero: not known
	Adults   int
}

// List is all that is to be known and shown on arrival.
type List struct {
	Zone      string    `json:"zone"`
	ZoneName  string    `json:"zone_name"`
	Authority string    `json:"authority"` // whom to ask; "ask the harbour master" when nobody is known
	Unasked   bool      `json:"-"`         // nobody is known to ask
	Lines     []Line    `json:"lines"`     // the gravest first
	EatDown   []EatDown `json:"eat_down"`
	Sealed    Sealed    `json:"sealed"`
	Caution   string    `json:"caution"`
}

// For prepares the list of what is aboard. It is the same for the same input.
func For(lots []inventory.Lot, cat *item.Catalogue, rules Rules, v Voyage, eats inventory.Eats) List {
	zone, _ := rules.Zone(v.To.Zone)
	l := List{
		Zone: v.To.Zone, ZoneName: cmp.Or(zone.Name, v.To.Zone), Caution: Caution,
		Authority: cmp.Or(rules.Authority(v.To.Zone), "not read: ask the harbour master or an agent before you sail"),
		Unasked:   rules.Authority(v.To.Zone) == "",
	}
	for _, lot := range lots {
		if i, ok := cat.Items[lot.Item]; ok && (port.IsFood(port.ClassOf(i)) || i.ImportClass == "ALCOHOL") {
			l.add(lot, i, rules, v)
		}
	}
	slices.SortStableFunc(l.Lines, func(a, b Line) int {
		return cmp.Or(cmp.Compare(slices.Index(gravest, a.Verdict), slices.Index(gravest, b.Verdict)), cmp.Compare(a.Name, b.Name))
	})
	l.EatDown = eatDown(l.Lines, cat, v, eats)
	l.Sealed = seal(lots, cat, rules, v)
	l.Sealed.Words = l.Sealed.words(l.ZoneName, v.Adults)
	return l
}

// add joins lots of one item and purpose in one line.
func (l *List) add(lot inventory.Lot, i item.Item, rules Rules, v Voyage) {
	k := slices.IndexFunc(l.Lines, func(o Line) bool { return o.Item == lot.Item && o.For == lot.For })
	if k >= 0 {
		o := &l.Lines[k]
		o.Amount += lot.Quantity
		if !slices.Contains(o.Places, lot.Place()) {
			o.Places = append(o.Places, lot.Place())
		}
		return
	}
	line := Line{
		Item: i.ID, Name: i.Name, Amount: lot.Quantity, Unit: i.Unit, Places: []string{lot.Place()}, For: lot.For, Class: port.ClassOf(i),
	}
	line.judge(rules, v)
	l.Lines = append(l.Lines, line)
}

// judge words the rule.
func (l *Line) judge(rules Rules, v Voyage) {
	rule, border := rules.Entering(v.From, v.To, l.Class)
	if !border {
		l.Verdict = NoBorder
		return
	}
	l.Rule, l.Age = rule, ageWords(rule, v.Today)
	l.Unconfirmed = port.Unconfirmed(rule, v.Today)
	switch rule.Status {
	case port.Prohibited:
		l.Verdict = Refused
	case port.Surrendered:
		l.Verdict = Surrendered
	case port.Conditional:
		l.Verdict = Conditional
	case port.Allowed:
		l.Verdict = Allowed
		if l.Unconfirmed {
			l.Verdict = Conditional // an old "allowed" is a reason to ask, no more
		}
	default:
		l.Verdict = Unknown
	}
}

// ageWords says how old the reading of a rule is.
func ageWords(r port.Rule, today calendar.Day) string {
	if r.Status == port.Unknown {
		return "no rule read"
	}
	days, dated := port.Age(r, today)
	switch {
	case !dated:
		return "undated: unconfirmed"
	case days < 60:
		return fmt.Sprintf("read %d days ago", max(0, days))
	case port.Unconfirmed(r, today):
		return fmt.Sprintf("about %d months old: unconfirmed", days/30)
	}
	return fmt.Sprintf("about %d months old", days/30)
}
