package brief

import (
	"math"

	"hardtack/pricing/calendar"
	"hardtack/route/plan"
)

// Endurance says how long water or gas lasts from a departure: water on ration
// with the watermaker dead, gas at its usual use. To be printed with every plan.
type Endurance struct {
	Need   string       `json:"need"`
	Name   string       `json:"name"`
	Leg    int          `json:"leg"` // of the brief
	Aboard float64      `json:"aboard"`
	PerDay float64      `json:"per_day"`
	Lasts  float64      `json:"lasts"`  // days after departure
	Median float64      `json:"median"` // days of the leg
	Long   float64      `json:"long"`   // days of a long passage
	Day    calendar.Day `json:"day"`    // the last day it lasts to
	Enough bool         `json:"enough"` // lasts the long passage
	Unit   string       `json:"unit"`
}

// enoughSlack is how much shorter than the long passage still counts as
// enough: less than a ration can be measured to.
const enoughSlack = 0.01

// EnduranceOf follows water and gas through a plan and gives one line for
// each at every leg at sea, in order.
func EnduranceOf(b plan.Brief, n Notes, p plan.Plan) []Endurance {
	lots := ledger(b, p)
	var out []Endurance
	for l, leg := range n.Legs {
		if leg.Way < 0 || leg.Days() <= 0 {
			continue
		}
		for _, need := range b.Needs {
			note, _ := n.Need(need.ID)
			perDay := need.UseAtSea[l]
			switch {
			case note.Water:
				perDay = n.RationL[l]
			case !note.Gas:
				continue
			}
			if perDay > 0 {
				out = append(out, endures(b, n, lots, need, l, perDay))
			}
		}
	}
	return out
}

func endures(b plan.Brief, n Notes, lots []*holding, need plan.Need, l int, perDay float64) Endurance {
	note, _ := n.Need(need.ID)
	items := itemsOf(b)
	sum := 0.0
	for _, h := range lots {
		if h.need == need.ID {
			sum += h.at(legPeriod(l)) * items[h.item].Yield
		}
	}
	leg := n.Legs[l]
	e := Endurance{
		Need: need.ID, Name: note.Name, Leg: l, Aboard: sum, PerDay: perDay, Lasts: sum / perDay,
		Median: leg.Days(), Long: leg.Long, Unit: need.Unit,
	}
	e.Day = n.Start + calendar.Day(math.Floor(leg.Depart+e.Lasts))
	e.Enough = e.Lasts >= e.Long*(1-enoughSlack)
	return e
}
