package brief

import (
	"slices"

	"hardtack/route/port"
)

// onByDefault are the food classes that are planned as lost where the rule is
// conditional, unknown or unconfirmed: fresh produce, meat, eggs, honey, seeds.
var onByDefault = []string{
	"FRUITVEG_FRESH", "FROZEN_PRODUCE", "MEAT_FRESH", "MEAT_CURED", "EGG_FRESH", "HONEY", "PLANT_SEED_RAW", "PET_FOOD",
}

// SurrenderDefault is the switch of a food class nobody set: true plans to
// lose it where the arrival rule does not clearly let it in.
func SurrenderDefault(class string) bool { return slices.Contains(onByDefault, class) }

// surrenders are the stops on whose arrival an item is taken away, each noted
// with its rule.
func (b *builder) surrenders(id, class string) []int {
	if !port.IsFood(class) {
		return nil
	}
	var at []int
	for s, stop := range b.stops {
		if !stop.First || stop.Call == 0 {
			continue
		}
		if note, taken := b.taken(class, stop.Call); taken {
			note.Item, note.Stop = id, s
			b.notes.Surrenders = append(b.notes.Surrenders, note)
			at = append(at, s)
		}
	}
	return at
}

// taken says whether a class is planned as lost on arriving at a call, and by
// which rule. Between two ports of one zone nothing is.
func (b *builder) taken(class string, call int) (SurrenderNote, bool) {
	rule, border := b.in.Rules.Entering(b.ports[call-1], b.ports[call], class)
	if !border {
		return SurrenderNote{}, false
	}
	note := SurrenderNote{
		Zone: b.ports[call].Zone, Rule: rule,
		Unconfirmed: rule.Status != port.Unknown && port.Unconfirmed(rule, b.in.Today),
	}
	switch {
	case rule.Status == port.Prohibited || rule.Status == port.Surrendered:
		return note, true
	case rule.Status == port.Allowed && !note.Unconfirmed:
		return note, false
	}
	note.BySwitch = true
	on, set := b.in.Options.Surrender[class]
	if !set {
		on = SurrenderDefault(class)
	}
	return note, on
}
