// Package estimate turns price reports into what is believed of every port and
// item: a price with an honest interval, the chance of finding the item, and
// what the figure rests on.
//
// Units: prices are logs of reference currency per unit of the item, so
// differences are ratios; times are days.
//
// Model. A report r of item i at port p on day t, paid for a pack of s units,
//
//	y = ln(paid / s / rate(t)) + β ln(s / list pack)
//	  = μ + category + item + country + port + category×country + item×country
//	    + country(t) + item(t) + season(t) + d(t) + reporter + shop + noise
//
// where every effect is random about its prior mean (Henderson's mixed-model
// equations; the country-product-dummy of Summers 1973 is the limit without
// shrinkage), d is the cell's own deviation, an Ornstein-Uhlenbeck process, and
// the noise is Student-t (Lange, Little & Taylor, JASA 84, 1989, 881–896).
// Each cell is reduced by a Kalman filter to the few numbers the equations
// need; these are solved together by preconditioned conjugate gradients.
//
// Nothing here reads a clock or depends on the order of its input.
package estimate

import (
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/fx"
	"hardtack/pricing/measure"
)

// Item is what the model must know of an item.
type Item struct {
	ID       pricing.ItemID
	Category string
	Unit     measure.Unit
	ListPack measure.Quantity // the pack estimates speak of
	// Packaging is what it is usually sold in, as the catalogue has it; empty
	// when that is not known.
	Packaging string
	// BasePrice is a guess in reference currency per unit in ListPack where
	// the price level is 1; zero when there is none. BaseLogSD is its spread.
	BasePrice, BaseLogSD float64
}

// Port is what the model must know of a port.
type Port struct {
	ID      pricing.PortID
	Country string
	South   bool    // of the equator
	Level   float64 // price level of the country, 1 as in Item.BasePrice; zero when unknown
}

// Input is all a fit depends on.
type Input struct {
	Items   []Item
	Ports   []Port
	Rates   fx.Rates
	Reports []pricing.Report // unique by id; replaced and later ones may be among them
	Day     calendar.Day     // the day believed about
	// Apart is the distance of two ports in nautical miles, false when one is
	// not placed; nil when nearness is not to be used.
	Apart func(a, b pricing.PortID) (float64, bool)
}

// Questioned is a report held back as a probable slip until its reporter
// answers.
type Questioned struct {
	Report     string `json:"report"`
	Reason     string `json:"reason"`
	Suggestion string `json:"suggestion"`
}

// Start values on the log scale, and the weight of the start value when a
// variance is learned, in effects: from methods of price comparison, where
// within a town and a quarter identical goods spread by 19–36 % (Kaplan &
// Menzio, Int. Econ. Rev. 56, 2015, 1165–1206).
const (
	startNoise    = 0.18
	startCell     = 0.19
	startPort     = 0.12
	startCountry  = 0.28
	startTwist    = 0.15 // category×country
	startProduct  = 0.06 // item×country
	startItem     = 0.6
	startCategory = 1.0
	startMemory   = 450.0 // days in which a cell's deviation falls to 1/e
	freshMemory   = 0.6   // of that, for what is fresh

	packElasticity   = 0.20 // a pack of double size costs 2^-0.20 per unit: Fox & Melser, Rev. Income Wealth 60, 2014
	packElasticitySD = 0.10
	levelElasticity  = 0.8 // food spreads less between countries than all consumption
	levelSD          = 0.4
	drift            = 0.02 // of prices in reference currency, per year
	driftSD          = 0.02
	countryDriftSD   = 0.02

	nu = 4 // degrees of freedom of the noise
)
