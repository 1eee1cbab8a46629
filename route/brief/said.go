package brief

import (
	"fmt"
	"slices"
	"strings"

	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/wording"
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
	n.say(wording.Say("brief.water", wording.Amount(drinkTemperate+galleyAtSea, measure.Litre), wording.Amount(drinkTropical+galleyAtSea, measure.Litre)))
	if b.in.Vessel.WaterTankL > 0 && !b.hasLot("water_tank") {
		n.say(wording.Say("brief.dry_tanks"))
	}
	if len(b.in.Vessel.Cylinders) == 0 {
		n.say(wording.Say("brief.no_gas"))
	}
	if len(b.in.Lots) == 0 {
		n.say(wording.Say("brief.empty"))
	}
	n.say(wording.Say("brief.prices"))
	n.say(wording.Say("brief.fresh"))
	n.say(wording.Say("brief.beside"))
	b.sayZones()
	b.sayLimits()
	for _, note := range b.in.Itinerary.Notes {
		n.say(note)
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
		b.notes.say(wording.Say("brief.no_rule", wording.Text(strings.Join(unknown, ", ")), wording.Word("rule.advice")))
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
			b.notes.say(wording.Say("brief.limits", wording.Count(fairLimit[size]), wording.Text(strings.Join(names, ", "))))
		}
	}
}
