// Package shopping turns a plan into what a person carries into the shops: per
// stop the packs to buy, what they should cost, where to stow them, what to
// look for, what would do instead, and what to eat before the next country
// takes it.
//
// Units: money in whole units of the currency named beside it; amounts in
// item-units; kilograms and litres as stowed; days are civil days, UTC.
package shopping

import (
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/pricing/wording"
	"hardtack/route/brief"
	"hardtack/route/plan"
	"hardtack/route/port"
	"hardtack/route/vessel"
)

// Input is a solved brief with what explains it. FromPlan changes none of it.
type Input struct {
	Title     string
	Brief     plan.Brief
	Plan      plan.Plan
	Notes     brief.Notes
	Catalogue *item.Catalogue
	Crew      vessel.Crew // for whom a label must be read; may be empty
}

// Lists is a plan as what a person carries: one list per stop with something
// to buy, to fill or to eat up, in route order.
type Lists struct {
	Title      string         `json:"title"`
	Home       money.Currency `json:"home"`
	RateDay    calendar.Day   `json:"rate_day,omitzero"` // of the rates behind local prices
	Spend      float64        `json:"spend"`             // home currency, expected
	GuessShare float64        `json:"guess_share"`       // of the spend that rests on no report, 0–1
	Lists      []List         `json:"lists"`
}

// List is what to do at one stop.
type List struct {
	Stop     int              `json:"stop"` // of the brief
	Port     pricing.PortID   `json:"port"`
	Name     string           `json:"name"`
	Next     string           `json:"next,omitempty"` // name of the next port
	Arrive   calendar.Day     `json:"arrive"`
	Depart   calendar.Day     `json:"depart"`
	Size     port.Size        `json:"size"`
	Home     money.Currency   `json:"home"`
	Currency money.Currency   `json:"currency"` // of the port
	Trips    int              `json:"trips"`
	Kg       float64          `json:"kg"`     // carried away, tank water apart
	Litres   float64          `json:"litres"` // of lockers, tanks apart
	Spend    Range            `json:"spend"`  // home currency
	Cash     Range            `json:"cash"`   // Currency; zero without a rate
	Lines    []Line           `json:"lines"`  // in the order of buying
	Lasts    []Endurance      `json:"lasts,omitempty"`
	EatDown  []EatDown        `json:"eat_down,omitempty"`
	Sayings  []wording.Remark `json:"sayings,omitempty"` // cautions for this stop
}

// Range is an expected value with the interval it lies in four times in five.
type Range struct {
	Expect float64 `json:"expect"`
	Low    float64 `json:"low"`
	High   float64 `json:"high"`
}

// When says when during the stay to buy a thing.
type When string

// In the order of buying.
const (
	Ahead       When = "any day"   // keeps: heavy things first
	LastDays    When = "last days" // within three days of leaving
	LastMorning When = "last morning"
	AsYouGo     When = "as you go" // eaten in port, nothing of it leaves
)

// Whens are all of them in the order of buying.
func Whens() []When { return []When{Ahead, LastDays, LastMorning, AsYouGo} }

// Line is one item to buy at a stop.
type Line struct {
	Item     pricing.ItemID   `json:"item"`
	Name     string           `json:"name"`
	Category string           `json:"category"`
	Unit     measure.Unit     `json:"unit"`
	Packs    []Packs          `json:"packs"`
	Amount   float64          `json:"amount"` // all packs, item-units
	Home     Range            `json:"home"`
	Local    Range            `json:"local"` // zero without a rate
	Guess    bool             `json:"guess"` // the price rests on no report
	Newest   calendar.Day     `json:"newest,omitzero"`
	When     When             `json:"when"`
	Stow     []Stow           `json:"stow,omitempty"`
	EatHere  float64          `json:"eat_here,omitzero"` // item-units eaten during the stay
	Spare    float64          `json:"spare,omitzero"`    // item-units no one is planned to eat
	Kg       float64          `json:"kg"`                // carried away
	Hint     string           `json:"hint,omitempty"`    // what to look for in this very item
	Look     []wording.Remark `json:"look,omitempty"`    // what to look for in its kind
	Handle   []wording.Remark `json:"handle,omitempty"`  // what to do with it aboard
	Why      []wording.Remark `json:"why,omitempty"`     // it is bought here, and no more of it: read off the plan
	Labels   []Label          `json:"labels,omitempty"`  // for whom to read the label
	Instead  []Instead        `json:"instead,omitempty"`
	EatenBy  calendar.Day     `json:"eaten_by,omitzero"` // last day any of it is planned to be eaten
}

// Label is a person for whom the label must be read, and what for.
type Label struct {
	Name      string   `json:"name"`
	NotEating []string `json:"not_eating"`
}

// Packs is a number of equal packs.
type Packs struct {
	Count int              `json:"count"`
	Pack  measure.Quantity `json:"pack"`
	Label string           `json:"label"` // how one is sold: "400 g tin"
}

// Stow is how much of a line goes into a space.
type Stow struct {
	Space  string   `json:"space"`
	Amount float64  `json:"amount"` // item-units
	Litres float64  `json:"litres"`
	Keeps  float64  `json:"keeps"` // days from departure
	Of     []string `json:"of,omitempty"`
}

// Instead is another item that would serve the same need as long.
type Instead struct {
	Item  pricing.ItemID `json:"item"`
	Name  string         `json:"name"`
	Unit  measure.Unit   `json:"unit"`
	Packs Packs          `json:"packs"`
	Home  float64        `json:"home"` // home currency, expected
	Guess bool           `json:"guess"`
}

// EatDown is what the next country takes, to be eaten or given away before.
type EatDown struct {
	Zone        string    `json:"zone"`
	Rule        port.Rule `json:"rule"`
	Unconfirmed bool      `json:"unconfirmed"`
	BySwitch    bool      `json:"by_switch"` // taken as lost out of caution, no rule says so
	Goods       []Goods   `json:"goods"`
}

// Goods is an amount of an item aboard when the boat leaves for that country,
// and what is planned to be left of it on arrival.
type Goods struct {
	Item   pricing.ItemID `json:"item"`
	Name   string         `json:"name"`
	Unit   measure.Unit   `json:"unit"`
	Aboard float64        `json:"aboard"`
	Left   float64        `json:"left"`
}

// Endurance is how long water or gas lasts on the leg that follows.
type Endurance struct {
	Need   string       `json:"need"`
	Name   string       `json:"name"`
	Aboard float64      `json:"aboard"`
	Unit   string       `json:"unit"`
	Lasts  float64      `json:"lasts"` // days
	Long   float64      `json:"long"`  // days of a long passage
	Day    calendar.Day `json:"day"`
	Enough bool         `json:"enough"`
}
