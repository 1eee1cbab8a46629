// Package world invents ports, items and price reports whose true prices are
// known, to try an estimator on: worlds the model of package estimate is true
// of, and worlds that break it.
//
// All of it is invented, countries too: their codes are from the range ISO
// 3166-1 leaves to users. Spreads are standard deviations of log prices;
// those of the plain world follow what is known of food prices within and
// between towns (Kaplan & Menzio, Int. Econ. Rev. 56, 2015, 1165–1206), the
// others are chosen to strain.
package world

import (
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/fx"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

// Spec says which world; the same Spec gives the same world.
type Spec struct {
	Seed                                                    uint64
	Items, Categories, Ports, Countries, Reporters, Reports int
	Years                                                   float64 // of reports before Day
	QuietPorts, QuietCountries                              int     // nobody reports from
	// Known are real ports and items instead of as many invented ones, of
	// which the prices are invented; nil for none. See At.
	Known *Known

	Truth
	Faults
}

// Truth is how prices come about. What is zero does not happen.
type Truth struct {
	CountrySD, PortSD, ItemSD, CategorySD float64
	TasteSD                               float64 // category in country
	ProductSD                             float64 // item in country
	CellSD, MemoryDays                    float64 // item at port: an Ornstein-Uhlenbeck process
	NoiseSD                               float64 // of one receipt, Student's t with 4 degrees of freedom
	ReporterSD, OutletSD                  float64
	DriftSD                               float64 // of countries, per year
	Near                                  float64 // share of the countries' and ports' variances that neighbours share
	Season                                float64 // amplitude of every third category's year
	Devalued                              int     // countries whose money loses a third; shelf prices follow within a year
	Jumps                                 float64 // share of pairs whose price moves for good, by 40 % or more
}

// Faults are what is wrong with reports, in shares.
type Faults struct {
	Slips  float64 // a decimal point, a pack, a unit, a currency
	Liars  float64 // of reporters: each by a factor of its own, 1.5 to 10
	Wild   bool    // another factor every time
	Swarm  float64 // of reports: new accounts, a lie each
	Honest bool    // all tell the truth after all: the same world without the lies
	Vague  float64 // of reports: "cheap", "fair" or "dear" for a price
	None   float64 // of reports: "none" instead
}

// Known is where the world lies, and what is sold there. Every currency of a
// port has a rate.
type Known struct {
	Ports []Port
	Items []Item
	Rates fx.Rates
}

// Item is a thing to buy.
type Item struct {
	ID       pricing.ItemID
	Category string
	Unit     measure.Unit
	ListPack measure.Quantity
	Price    float64 // per unit where the level is 1, in the reference currency; 0: any
}

// Port is a place to buy it.
type Port struct {
	ID                  pricing.PortID
	Country             string
	Latitude, Longitude float64
	Currency            money.Currency
}

// Pair is the truth about an item at a port on World.Day.
type Pair struct {
	Port    int // place in World.Ports
	Item    int
	Log     float64 // median price per unit in the list pack, log reference currency
	Receipt float64 // log price on one honest receipt from any of the shops
	Abroad  float64 // Log as guessed by one who knows the item and every country reported from; for quiet countries
	Seen    bool    // whether there is a price report of it
}

// World is an invented world.
type World struct {
	Spec
	Items   []Item
	Ports   []Port
	Rates   fx.Rates
	Day     calendar.Day
	Reports []pricing.Report   // nil when they were told one by one
	Pairs   []Pair             // by port, then item
	Slipped map[string]float64 // log factor, by report
	Lied    map[string]bool    // by report
}

// Day is the day every world speaks of.
const Day = calendar.Day(20_600)

// Kinds are the worlds there are, by name; all have 3 % slips.
func Kinds() map[string]Truth {
	plain := Truth{
		CountrySD: 0.28, PortSD: 0.12, ItemSD: 0.5, CategorySD: 0.8, TasteSD: 0.15, CellSD: 0.19, MemoryDays: 430,
		NoiseSD: 0.17, ReporterSD: 0.04, OutletSD: 0.08, DriftSD: 0.02,
	}
	change := func(f func(*Truth)) Truth { t := plain; f(&t); return t }
	return map[string]Truth{
		"plain":     plain,
		"tastes":    change(func(t *Truth) { t.ProductSD, t.TasteSD = 0.25, 0.1 }),
		"devalued":  change(func(t *Truth) { t.Devalued = 5 }),
		"seasons":   change(func(t *Truth) { t.Season, t.MemoryDays = 0.3, 200 }),
		"jumps":     change(func(t *Truth) { t.Jumps, t.MemoryDays = 0.15, 900 }),
		"neighbour": change(func(t *Truth) { t.Near = 0.8 }),
		"outlets":   change(func(t *Truth) { t.OutletSD, t.ReporterSD = 0.25, 0.1 }),
	}
}

// Usual is a world of a few hundred items at eighty ports, a fifth of a season
// fleet's harvest: somewhat more than a quarter of the pairs have reports.
func Usual(seed uint64, t Truth) Spec {
	return Spec{
		Seed: seed, Items: 300, Categories: 14, Ports: 80, Countries: 22, Reporters: 250, Reports: 15_000, Years: 3,
		QuietPorts: 6, QuietCountries: 2, Truth: t, Faults: Faults{Slips: 0.03, Vague: 0.05, None: 0.06},
	}
}
