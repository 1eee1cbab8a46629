package brief

import (
	"math"
	"strings"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/wording"
	"hardtack/route/vessel"
)

// Needs that come from the way itself, beside the table of daily use. All
// their numbers are common practice, no source.
const (
	roughDinner = "rough-dinner"
	roughBeans  = "rough-beans"
	seasickFood = "seasick-food"
	watchSnack  = "watch-snack"
	watchTreat  = "watch-treat"
	watchDrink  = "watch-drink"
	emergency   = "emergency-meal"
)

// A passage longer than this has nights on watch.
const overnight = 0.75

// A prone person eats little for so many days at sea, and then this share of
// the usual.
const (
	seasickDays  = 3.0
	seasickShare = 0.6
)

// A one-bowl dinner stands in for this share of the day's main dish.
const dinnerShare = 0.45

// watchAge is the age from which a person stands night watches.
const watchAge = 15

// dishes are the groups a dinner is made of.
var dishes = map[string]bool{
	"starch_dry": true, "meat_fish": true, "veg_tinned": true, "veg_fresh_gross": true, "pulses_dry_equiv": true,
}

type fixedNeed struct {
	dish string  // needs of one dish stand in for each other
	part float64 // of the dish, for those who eat all of it
	need item.Need
	rate func(b *builder, l Leg, p vessel.Person) float64 // units of the dish a day at sea
}

func alternate(id string, yield, taste float64) item.Alternate {
	return item.Alternate{Item: pricing.ItemID(id), Yield: yield, Taste: taste}
}

// fixedNeeds are the dishes a passage asks for. A meal is counted as one
// adult's, 400 kcal or more: a 400 g tin of stew, 0.4 kg.
var fixedNeeds = []fixedNeed{
	{"dinner", 0.5, item.Need{ID: roughDinner, Name: "One-bowl dinners for rough weather", Group: "rough-dinners", Unit: measure.Each,
		Class: item.Staple, Appetite: item.Food, Alternates: []item.Alternate{
			alternate("tin_stew", 2.5, 0), alternate("tin_chili", 2.5, 0), alternate("meal_pouch", 2.8, 0),
		}}, dinner},
	{"dinner", 0.5, item.Need{ID: roughBeans, Name: "One-bowl dinners without meat", Group: "rough-dinners", Unit: measure.Each,
		Class: item.Staple, Appetite: item.Food, Alternates: []item.Alternate{
			alternate("tin_bakedbeans", 2.3, 0), alternate("tin_soup", 1.7, 0.1),
		}}, dinner},
	{"seasick", 1, item.Need{ID: seasickFood, Name: "Food for the first days of those prone to seasickness", Group: "seasick-food", Unit: measure.Kilogram,
		Class: item.Staple, Appetite: item.Food, Alternates: []item.Alternate{
			alternate("crackers", 1, 0), alternate("crispbread", 1, 0.1), alternate("biscuits_sweet", 1, 0.1),
			alternate("oat_cookies", 1, 0.2),
		}}, func(_ *builder, l Leg, p vessel.Person) float64 {
		return prone(l, p) * 0.15 * p.Factor(item.Food)
	}},
	{"snack", 0.5, item.Need{ID: watchSnack, Name: "Night-watch snacks", Group: "watch-snacks", Unit: measure.Each, Class: item.Comfort,
		Appetite: item.Food, Alternates: []item.Alternate{
			alternate("granola_bars", 1, 0), alternate("oat_cookies", 22, 0.1), alternate("fruit_cake", 16, 0),
		}}, watch},
	{"snack", 0.5, item.Need{ID: watchTreat, Name: "Chocolate and nuts for the night watch", Group: "watch-snacks", Unit: measure.Each,
		Class: item.Comfort, Appetite: item.Food, Alternates: []item.Alternate{
			alternate("choc_milk", 25, 0), alternate("nuts_mixed", 22, 0),
		}}, watch},
	{"drink", 1, item.Need{ID: watchDrink, Name: "Hot drinks for the night watch", Group: "watch-drinks", Unit: measure.Each, Class: item.Comfort,
		Appetite: item.Food, Alternates: []item.Alternate{
			alternate("cocoa", 50, 0), alternate("tea_bags", 1, 0.1), alternate("stock_cubes", 2, 0.2),
		}}, watch},
}

// emergencyNeed is held and never eaten: meals that want neither gas nor
// fridge, so many per person, due as reserve on every arrival.
var emergencyNeed = item.Need{ID: emergency, Name: "Emergency meals, no cooking, never lunch", Group: "emergency-meals", Unit: measure.Each,
	Class: item.Safety, Appetite: item.Food, Alternates: []item.Alternate{
		alternate("tin_bakedbeans", 2.3, 0), alternate("tin_stew", 2.5, 0), alternate("tin_chili", 2.5, 0),
		alternate("tin_tuna_oil", 3.5, 0), alternate("tin_sardine", 4, 0), alternate("tin_cornedbeef", 5, 0),
		alternate("meal_pouch", 2.8, 0), alternate("granola_bars", 0.4, 0), alternate("ship_biscuit", 8, 0),
	}}

// roughDinners is the fixed number of one-bowl dinners of a leg per person:
// none on a day sail, one on a night or two, then one every five days.
func roughDinners(l Leg) float64 {
	if l.Days() <= overnight {
		return 0
	}
	return math.Ceil(l.Days() / 5)
}

func dinner(_ *builder, l Leg, p vessel.Person) float64 {
	return p.Factor(item.Food) * roughDinners(l) / l.Days()
}

// prone is the share of the leg on which a prone person is seasick.
func prone(l Leg, p vessel.Person) float64 {
	if !p.Seasick || l.Days() <= overnight {
		return 0
	}
	return min(seasickDays, l.Days()) / l.Days()
}

// watch is one a night for everybody who stands watches.
func watch(_ *builder, l Leg, p vessel.Person) float64 {
	if l.Days() <= overnight || p.Age < watchAge {
		return 0
	}
	return math.Ceil(l.Days()) / l.Days()
}

// seaFactor is how much of the daily use of a need a person still wants on a
// leg, beside the fixed dishes.
func (b *builder) seaFactor(need item.Need, l Leg, p vessel.Person) float64 {
	if need.Appetite != item.Food || l.Days() <= 0 {
		return 1
	}
	x := 1 - (1-seasickShare)*prone(l, p)
	if dishes[need.Group] {
		x *= 1 - dinnerShare*min(1, roughDinners(l)/l.Days())
	}
	return x
}

func (b *builder) fixed(n item.Need) demand {
	return demand{id: n.ID, name: n.Name, need: n, alternates: b.common(n), inPort: make([]float64, len(b.stops))}
}

// common keeps the alternates everybody eats; if there are none, those that
// anybody eats, and a note.
func (b *builder) common(n item.Need) []item.Alternate {
	var all, some []item.Alternate
	for _, a := range n.Alternates {
		i, ok := b.in.Catalogue.Items[a.Item]
		if !ok {
			continue
		}
		some = append(some, a)
		if !b.refused(i, n.ID) {
			all = append(all, a)
		}
	}
	if len(all) == 0 && len(some) > 0 {
		b.notes.say(wording.Say("brief.suits_nobody", wording.Need(n.ID, n.Name)))
		return some
	}
	return all
}

func (b *builder) refused(i item.Item, need string) bool {
	for _, p := range b.in.Crew.Persons {
		if p.Refuses(i, need) {
			return true
		}
	}
	return false
}

func (b *builder) everybody() []int {
	out := make([]int, len(b.in.Crew.Persons))
	for p := range out {
		out[p] = p
	}
	return out
}

// emergencyDemand wants the meals aboard on every arrival: two days for an
// ocean leg, one for any other night at sea.
func (b *builder) emergencyDemand() demand {
	d := b.fixed(emergencyNeed)
	d.atSea = make([]float64, len(b.legs))
	d.reserve = make([]float64, len(b.legs))
	for i, l := range b.legs {
		if l.Way < 0 || l.Days() <= overnight {
			continue
		}
		meals := 3.0
		if b.in.Itinerary.Ways[l.Way].Ocean {
			meals = 6
		}
		meals = or(b.in.Options.EmergencyMeals, meals)
		d.reserve[i] = meals * b.mean(l.Depart, l.Arrive, b.everybody(), func(p int) float64 {
			return b.in.Crew.Persons[p].Factor(item.Food)
		})
	}
	return d
}

// isFixed says whether a need of the brief is one of ours.
func isFixed(id string) bool {
	for _, f := range fixedNeeds {
		if strings.HasPrefix(id, f.need.ID) {
			return true
		}
	}
	return id == emergency
}
