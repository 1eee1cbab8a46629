package brief

import (
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
	n.say("Prices are expected prices of the usual pack; other packs follow a fifth of their size (a double pack costs 13 %% less by the unit).")
	n.say("Fresh food held over 5 days is planned with a tenth lost, over 14 days with a fifth.")
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

// sayZones says for every country or zone entered what is known of it.
func (b *builder) sayZones() {
	for c := 1; c < len(b.ports); c++ {
		rule, border := b.in.Rules.Entering(b.ports[c-1], b.ports[c], "FRUITVEG_FRESH")
		if border && rule.Status == port.Unknown {
			b.notes.say("%s (%s): no rule known here for fresh food; what is left of it is planned as lost on arrival unless "+
				"you switch that off. %s", b.ports[c].Name, b.ports[c].Zone, port.Advice)
		}
	}
}

func (b *builder) sayLimits() {
	for c, p := range b.ports {
		if _, few := fairLimit[sizeOf(p)]; few && !b.in.Itinerary.Calls[c].NoShops {
			b.notes.say("In %s at most %d packs of a thing are planned: leave some for the others.", p.Name, fairLimit[sizeOf(p)])
		}
	}
}
