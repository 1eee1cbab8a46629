package web

import (
	"fmt"
	"strconv"
	"strings"

	"hardtack/route/vessel"
)

// hold is what a boat of some length usually has: litres as measured, bottles
// as filled. Common practice, no source; asked for and changed at will.
type hold struct {
	dry, cool, net, fridge, freezer, deck float64
	water, watermaker                     float64
	cylinders, cylinderKg                 float64
}

var holds = map[string]hold{
	"short":  {dry: 320, cool: 60, net: 30, fridge: 40, deck: 60, water: 150, cylinders: 2, cylinderKg: 2.7},
	"middle": {dry: 700, cool: 120, net: 50, fridge: 80, deck: 90, water: 320, cylinders: 2, cylinderKg: 6},
	"long":   {dry: 1200, cool: 220, net: 80, fridge: 130, freezer: 40, deck: 150, water: 600, cylinders: 3, cylinderKg: 6},
}

var lengths = []string{"short", "middle", "long"}

func (q *request) lengths(on string) []choice {
	if _, ok := holds[on]; !ok {
		on = "middle"
	}
	return q.choices("length", lengths, on).Of
}

// holdNames are the numbers of a hold that may be given instead of the usual.
var holdNames = []string{"dry", "cool", "fridge", "freezer", "water", "watermaker", "cylinders", "cylinder_kg"}

func (q *request) holdFields() []field {
	var out []field
	for _, n := range holdNames {
		out = append(out, field{n, q.say("hold." + n), q.text(n)})
	}
	return out
}

// newVessel is a boat of the length chosen, with the numbers that were given.
func (q *request) newVessel(p *startPage) *vessel.Vessel {
	h := holds["middle"]
	for _, c := range p.Lengths {
		if c.On {
			h = holds[c.Value]
		}
	}
	for i, to := range []*float64{&h.dry, &h.cool, &h.fridge, &h.freezer, &h.water, &h.watermaker, &h.cylinders, &h.cylinderKg} {
		x, ok := q.number(holdNames[i], *to)
		if !ok || x < 0 {
			p.Faults = append(p.Faults, q.say("start.fault.number", q.say("hold."+holdNames[i])))
		}
		*to = x
	}
	v := &vessel.Vessel{ID: "boat", Name: q.say("boat.ours"), WaterTankL: h.water, WatermakerLPerDay: h.watermaker}
	for _, s := range []struct {
		kind   vessel.SpaceKind
		litres float64
	}{{vessel.Dry, h.dry}, {vessel.Cool, h.cool}, {vessel.Net, h.net}, {vessel.Fridge, h.fridge}, {vessel.Freezer, h.freezer}, {vessel.Deck, h.deck}} {
		if s.litres > 0 {
			v.Spaces = append(v.Spaces, vessel.Space{ID: q.say("space." + string(s.kind)), Kind: s.kind, Litres: s.litres})
		}
	}
	if h.cylinders >= 1 && h.cylinderKg > 0 {
		v.Spaces = append(v.Spaces, vessel.Space{ID: q.say("space.gas"), Kind: vessel.GasLocker})
		for range min(int(h.cylinders), 12) {
			v.Cylinders = append(v.Cylinders, vessel.Cylinder{Kg: h.cylinderKg, Full: 1})
		}
	}
	return v
}

// adultAge stands for grown-ups whose age nobody said.
const adultAge = 40

// newCrew is so many grown-ups, and children by their ages.
func (q *request) newCrew(p *startPage) *vessel.Crew {
	c := &vessel.Crew{ID: "crew"}
	adults, ok := q.number("adults", 2)
	if !ok || adults < 0 || adults > 40 || adults != float64(int(adults)) {
		p.Faults = append(p.Faults, q.say("start.fault.number", q.say("start.adults")))
		adults = 0
	}
	add := func(name string, age float64) {
		c.Persons = append(c.Persons, vessel.Person{ID: fmt.Sprintf("p%d", len(c.Persons)+1), Name: name, Age: age})
	}
	for n := range int(adults) {
		add(q.say("start.adult", n+1), adultAge)
	}
	ages := strings.FieldsFunc(p.Children, func(r rune) bool { return r == ' ' || r == ',' || r == ';' })
	for n, text := range ages {
		age, err := strconv.ParseFloat(text, 64)
		if err != nil || !(age >= 0 && age < 18) || n > 20 {
			p.Faults = append(p.Faults, q.say("start.fault.number", q.say("start.children")))
			break
		}
		add(q.say("start.child", n+1), age)
	}
	if len(c.Persons) == 0 && len(p.Faults) == 0 {
		p.Faults = append(p.Faults, q.say("start.fault.nobody"))
	}
	return c
}
