package brief

import (
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/pricing/wording"
	"hardtack/route/port"
	"hardtack/route/vessel"
)

// Notes explain a brief: what each of its ids stands for, what each number
// rests on, and what was assumed. They are for pages and lists; the planner
// never sees them.
type Notes struct {
	Home       money.Currency   `json:"home"`
	PerRef     float64          `json:"per_reference"` // home currency per reference currency
	RateDay    calendar.Day     `json:"rate_day,omitzero"`
	Start      calendar.Day     `json:"start"`
	Stops      []StopNote       `json:"stops"`
	Legs       []Leg            `json:"legs"`
	Spaces     []SpaceNote      `json:"spaces"`
	Needs      []NeedNote       `json:"needs"`
	Items      []ItemNote       `json:"items"`
	Offers     []OfferNote      `json:"offers"`
	Surrenders []SurrenderNote  `json:"surrenders"`
	Wishes     []WishNote       `json:"wishes,omitempty"`
	RationL    []float64        `json:"ration_l"` // water per day on ration, by leg
	Said       []wording.Remark `json:"said"`     // assumptions and doubts

	index struct {
		items  map[string]int
		needs  map[string]int
		offers map[offerKey]int
	}
}

// StopNote says which call a stop of the brief is, and who is aboard.
type StopNote struct {
	Stop
	Port       pricing.PortID `json:"port"`
	Name       string         `json:"name"`
	Zone       string         `json:"zone"`
	Size       port.Size      `json:"size"`
	Currency   money.Currency `json:"currency"`
	PersonDays float64        `json:"person_days"` // in the stay
	Adults     float64        `json:"adults"`      // food factors aboard, mean over the stay
}

// SpaceNote says which spaces of the vessel a space of the brief joins.
type SpaceNote struct {
	ID     string           `json:"id"`
	Kind   vessel.SpaceKind `json:"kind"`
	Litres float64          `json:"litres"`
	Of     []string         `json:"of"` // ids of the vessel's spaces
}

// NeedNote says what a need of the brief is.
type NeedNote struct {
	ID      string         `json:"id"`
	Name    string         `json:"name"`
	Group   string         `json:"group"`
	Class   item.Necessity `json:"class"`
	Persons []string       `json:"persons,omitempty"` // empty = everybody
	Median  float64        `json:"median"`            // price per need-unit along the route
	PerUnit float64        `json:"per_group_unit"`    // need-units per unit of the group's use
	Water   bool           `json:"water,omitempty"`
	Gas     bool           `json:"gas,omitempty"`
}

// ItemNote says which item of the catalogue an item of the brief is.
type ItemNote struct {
	ID       string         `json:"id"`
	Item     pricing.ItemID `json:"item"`
	Name     string         `json:"name"`
	Unit     measure.Unit   `json:"unit"`
	Need     string         `json:"need"`
	Kcal     float64        `json:"kcal"`      // per item-unit, edible part
	ProteinG float64        `json:"protein_g"` // per item-unit
	LossPart float64        `json:"loss_part"` // share expected to spoil, already in the yield
	Class    string         `json:"class"`     // food class of the arrival rules
}

// OfferNote says what an offer's price rests on. Prices are per pack.
type OfferNote struct {
	Item     string           `json:"item"` // id in the brief
	Stop     int              `json:"stop"`
	Pack     measure.Quantity `json:"pack"`
	Price    float64          `json:"price"` // expected, home currency
	Low80    float64          `json:"low80"`
	High80   float64          `json:"high80"`
	Currency money.Currency   `json:"currency"` // of the port
	Local    float64          `json:"local"`    // Price in Currency; 0 when there is no rate
	Estimate pricing.Estimate `json:"estimate"`
	Guess    bool             `json:"guess"` // rests on no report at all
}

// SurrenderNote says why an item is taken away on arrival.
type SurrenderNote struct {
	Item        string    `json:"item"`
	Stop        int       `json:"stop"`
	Zone        string    `json:"zone"`
	Rule        port.Rule `json:"rule"`
	Unconfirmed bool      `json:"unconfirmed"` // undated, or read more than a year ago
	BySwitch    bool      `json:"by_switch"`   // the rule does not take it, the skipper's caution does
}

// WishNote says what became of a wish.
type WishNote struct {
	Wish
	Granted bool   `json:"granted"`
	Why     string `json:"why"`
}
