// Package item is the catalogue: what can be bought, how it keeps and stows,
// which need it serves, and how much of each need a person uses a day.
//
// Data come from seed/; every figure carries the basis it rests on.
package item

import (
	"hardtack/pricing"
	"hardtack/pricing/measure"
	"hardtack/pricing/wording"
)

// Item is one thing that can be bought. Energy, protein, litres and kilograms
// are per Unit.
type Item struct {
	ID       pricing.ItemID
	Name     string
	Category string
	Unit     measure.Unit

	Kcal     float64 // of the edible part
	ProteinG float64
	Litres   float64 // locker space as stowed
	Kg       float64 // gross, with pack

	Shelf       Shelf
	ShelfClass  string // keeping class: dry, can, prod, prodc, chill, frozen, egg …
	PestRisk    int    // 0–3
	ImportClass string // food class the arrival rules speak of
	ReadyToEat  bool
	CookMin     float64
	CookWaterL  float64
	OpenedDays  float64 // keeps opened in the fridge; 0 = nothing known
	Packaging   string
	Allergens   []string

	ListPack   measure.Quantity   // usual pack, the one estimates speak of
	Packs      []measure.Quantity // packs as sold, ListPack among them, ascending
	PackLabels []string           // how each of Packs is sold: "400 g tin"
	BasePrice  float64            // guess: EUR per unit in ListPack at price level 1
	BaseLogSD  float64            // spread of that guess, log scale
	BuyHint    string             // what to look for when buying; may be empty
	KcalBasis  string
	ShelfBasis string
	Source     string

	ShelfDerived []int // temperatures, °C, whose days come from those at 20 °C by Q10
}

// Shelf is days of good quality at a constant temperature; a nil day count
// means that no value is listed, never "keeps for ever".
type Shelf struct {
	At20, At30, At16, At4, AtM18 *float64
	Q10                          float64 // 0 when Produce
	Produce                      bool    // piecewise produce curve instead of Q10
}

// Necessity says how bad it is to go without.
type Necessity string

// The four classes of the trade.
const (
	Safety  Necessity = "A" // water, gas, infant food, medicine
	Staple  Necessity = "B"
	Comfort Necessity = "C"
	Luxury  Necessity = "D"
)

// Appetite says by which factor of a person a need scales.
type Appetite string

// Food scales with the person's appetite; the others have factors of their own.
const (
	Food    Appetite = "food"
	Coffee  Appetite = "coffee"
	Alcohol Appetite = "alcohol"
	Infant  Appetite = "infant" // per infant aboard
	Baby    Appetite = "baby"   // per child under one
	Person  Appetite = "person" // one each, whatever the age
	Vessel  Appetite = "vessel" // per boat and day

	Menstrual Appetite = "menstrual" // 0 unless set for a person
	Pet       Appetite = "pet"       // 0 unless set: put the pet down as a person
)

// Group is a line of the use-per-person-day table.
type Group struct {
	ID           string
	Unit         string // unit of PerPersonDay: g, ml, each …
	PerPersonDay float64
	CV           float64 // spread between crews
	Basis        string
}

// Need is what the crew must have; one of Alternates serves it.
type Need struct {
	ID           string
	Name         string
	Group        string
	Share        float64 // of the group's use, ≤ 0.5 where the group has rivals
	PerGroupUnit float64 // need-units per unit of the group's use
	Unit         measure.Unit
	PerPersonDay float64 // need-units per adult and day: the group's use × Share × PerGroupUnit
	Class        Necessity
	Appetite     Appetite
	Alternates   []Alternate
}

// Alternate is an item serving a need.
type Alternate struct {
	Item  pricing.ItemID
	Yield float64 // need-units per item-unit
	Taste float64 // taste cost per need-unit as a share of the median price
}

// Catalogue is all of it. Items are addressed by id; Needs are in list order.
type Catalogue struct {
	Items  map[pricing.ItemID]Item
	Order  []pricing.ItemID // catalogue order
	Groups []Group
	Needs  []Need
	Extras map[pricing.ItemID]string   // items of no need, with why
	Words  map[string]wording.Glossary // names of it all in languages other than English

	spellings map[pricing.ItemID]spelt
}
