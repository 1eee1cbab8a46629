package brief

import (
	"fmt"
	"slices"
	"strings"

	"hardtack/pricing/item"
	"hardtack/route/port"
)

// catalogueNeed is the catalogue's need behind a need of the brief.
func (b *builder) catalogueNeed(id string) item.Need {
	for _, n := range b.in.Catalogue.Needs {
		if n.ID == id {
			return n
		}
	}
	return item.Need{}
}

// assumptions says in words what the numbers of the brief rest on.
func (b *builder) assumptions() {
	n := b.notes
	n.say("Water: %.1f L per adult and day at sea in temperate weather, %.1f L in the tropics; the reserve lasts the long "+
		"passage on ration with the watermaker dead.", drinkTemperate+galleyAtSea, drinkTropical+galleyAtSea)
	if b.in.Vessel.WaterTankL > 0 && !b.hasLot("water_tank") {
		n.say("No water was counted aboard: the tanks are taken as empty on day 0.")
	}
	if len(b.in.Vessel.Cylinders) == 0 {
		n.say("No gas cylinder is entered: gas is not planned.")
	}
	if len(b.in.Lots) == 0 {
		n.say("Nothing was counted aboard: the plan starts from empty lockers.")
	}
	n.say("Prices are expected prices; a pack of twice the usual size is reckoned 13 %% cheaper by the unit.")
	n.say("Fresh food held over 5 days is planned with a tenth lost, over 14 days with a fifth.")
	n.say("Beside the daily use: one-bowl dinners for rough weather, a snack and a hot drink per night watch, and meals for " +
		"emergencies that need neither gas nor fridge and are never lunch.")
	b.sayZones()
	b.sayLimits()
	for _, note := range b.in.Itinerary.Notes {
		n.say("%s", note)
	}
}

func (b *builder) hasLot(id string) bool {
	for _, l := range b.in.Lots {
		if string(l.Item) == id {
			return true
		}
	}
	return false
}

// sayZones says where an arrival rule for fresh food is not known.
func (b *builder) sayZones() {
	var unknown []string
	for c := 1; c < len(b.ports); c++ {
		p := b.ports[c]
		rule, border := b.in.Rules.Entering(b.ports[c-1], p, "FRUITVEG_FRESH")
		if name := fmt.Sprintf("%s (%s)", p.Name, p.Zone); border && rule.Status == port.Unknown && !slices.Contains(unknown, name) {
			unknown = append(unknown, name)
		}
	}
	if len(unknown) > 0 {
		b.notes.say("No rule known here for fresh food: %s. What is left of it is planned as lost on arrival unless you switch "+
			"that off. %s", strings.Join(unknown, ", "), port.Advice)
	}
}

func (b *builder) sayLimits() {
	for _, size := range []port.Size{port.Village, port.SmallTown} {
		var names []string
		for c, p := range b.ports {
			if sizeOf(p) == size && !b.in.Itinerary.Calls[c].NoShops && !slices.Contains(names, p.Name) {
				names = append(names, p.Name)
			}
		}
		if len(names) > 0 {
			b.notes.say("At most %d packs of a thing are planned in %s: leave some for the others.",
				fairLimit[size], strings.Join(names, ", "))
		}
	}
}
