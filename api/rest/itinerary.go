package rest

import (
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/route"
	"hardtack/route/geo"
)

type wireCall struct {
	Port      pricing.PortID `json:"port"`
	Arrive    calendar.Day   `json:"arrive"`
	Depart    calendar.Day   `json:"depart"`
	ArriveDay float64        `json:"arrive_day"` // days since start
	DepartDay float64        `json:"depart_day"`
	Ashore    float64        `json:"ashore"` // share eaten ashore
}

type wireWay struct {
	DistanceNM  geo.NauticalMiles `json:"distance_nm"` // over water
	DirectNM    geo.NauticalMiles `json:"direct_nm"`
	CrossesLand bool              `json:"crosses_land"` // the direct line does
	MedianDays  float64           `json:"median_days"`
	Days90      float64           `json:"days_90"` // nine passages in ten are shorter
	Ocean       bool              `json:"ocean"`
}

type wireItinerary struct {
	Voyage string       `json:"voyage"`
	Name   string       `json:"name"`
	Start  calendar.Day `json:"start"`
	Calls  []wireCall   `json:"calls"`
	Ways   []wireWay    `json:"ways"`
	Notes  []string     `json:"notes"`
}

func itineraryOf(it route.Itinerary) wireItinerary {
	w := wireItinerary{
		Voyage: it.Voyage, Name: it.Name, Start: it.Start, Notes: english(it.Notes),
		Calls: []wireCall{}, Ways: []wireWay{},
	}
	day := func(x float64) calendar.Day { return it.Start + calendar.Day(x) }
	for _, c := range it.Calls {
		w.Calls = append(w.Calls, wireCall{c.Port, day(c.Arrive), day(c.Depart), c.Arrive, c.Depart, c.Ashore})
	}
	for _, l := range it.Ways {
		w.Ways = append(w.Ways, wireWay(l))
	}
	return w
}
