package port

import (
	"fmt"
	"io/fs"
	"slices"
)

// Advice belongs beside every arrival rule that is shown.
const Advice = "Declare everything; officers decide; check the authority's page."

// Rules is what the countries say of food on arrival, as far as anybody has
// read it. What is not known is Unknown, never Allowed.
type Rules struct {
	rules   map[ruleKey]Rule
	zones   map[string]Zone
	alcohol map[string][]Allowance
}

type ruleKey struct{ zone, class string }

// everything is the class of a rule that speaks of all food.
const everything = "*"

// Zone is a country or a part of one that controls what is brought in.
type Zone struct {
	ID             string
	Name           string
	Within         string // the zone it is a part of; empty for a country
	Apart          Apart  // what it controls by itself
	Authority      string // whom to ask, as far as read; may be empty
	AuthorityBasis string // evidence word
	Note           string
}

// Apart says for which goods a part of a country is a zone of its own.
type Apart string

// A part may control all food by itself, or only fresh plants.
const (
	Wholly Apart = "all"
	Plants Apart = "plants"
)

// Allowance is how much alcohol a traveller may bring, all adults alike.
type Allowance struct {
	Zone, Kind string
	Amount     float64
	Unit       string // L, or bottles
	Note       string
	Source     string
	Evidence   string
}

// inherits names the class whose rule holds where a class has none of its own.
var inherits = map[string]string{"FROZEN_PRODUCE": "FRUITVEG_FRESH", "PET_FOOD": "MEAT_FRESH"}

// plants are the classes that plant health controls.
var plants = []string{
	"FRUITVEG_FRESH", "FROZEN_PRODUCE", "PLANT_SEED_RAW", "RICE_GRAIN", "DRIED_FRUIT", "NUT_PROCESSED", "SPICE_DRIED",
}

// LoadRules reads zones.csv, arrival-rules.csv and alcohol.csv. The error
// names the file, the record and what was expected.
func LoadRules(files fs.FS) (*Rules, error) {
	r := &Rules{rules: map[ruleKey]Rule{}, zones: map[string]Zone{}, alcohol: map[string][]Allowance{}}
	for _, load := range []func(fs.FS) error{r.loadZones, r.loadRules, r.loadAlcohol} {
		if err := load(files); err != nil {
			return nil, err
		}
	}
	return r, nil
}

func (r *Rules) loadZones(files fs.FS) error {
	rows, err := readTable(files, "zones.csv", "zone", "name", "within", "apart", "authority", "authority_basis", "note")
	if err != nil {
		return err
	}
	for _, w := range rows {
		z := Zone{
			ID: w.text("zone"), Name: w.text("name"), Within: w.text("within"), Apart: Apart(w.text("apart")),
			Authority: w.text("authority"), AuthorityBasis: w.text("authority_basis"), Note: w.text("note"),
		}
		if _, twice := r.zones[z.ID]; twice || z.ID == "" {
			w.fail(fmt.Errorf("zone %q: want one that is not there yet", z.ID))
		}
		if (z.Within == "") != (z.Apart == "") || !slices.Contains([]Apart{"", Wholly, Plants}, z.Apart) {
			w.fail(fmt.Errorf("apart %q: want all or plants for a zone within another, nothing else", z.Apart))
		}
		if w.err != nil {
			return w.err
		}
		r.zones[z.ID] = z
	}
	for _, w := range rows {
		if in := w.text("within"); in != "" && r.zones[in].ID == "" {
			w.fail(fmt.Errorf("within %q: want a zone of this file", in))
			return w.err
		}
	}
	return nil
}

func (r *Rules) loadRules(files fs.FS) error {
	rows, err := readTable(files, "arrival-rules.csv", "country", "food_class", "status", "note", "source", "source_date", "evidence")
	if err != nil {
		return err
	}
	for _, w := range rows {
		rule := Rule{
			Zone: w.text("country"), Class: w.text("food_class"), Status: Status(w.text("status")), Note: w.text("note"),
			Source: w.text("source"), SourceDate: w.text("source_date"), Evidence: w.text("evidence"),
		}
		k := ruleKey{rule.Zone, rule.Class}
		if _, twice := r.rules[k]; twice {
			w.fail(fmt.Errorf("%s %s: there is a rule already", rule.Zone, rule.Class))
		}
		if _, ok := r.zones[rule.Zone]; !ok {
			w.fail(fmt.Errorf("country %q: want a zone of zones.csv", rule.Zone))
		}
		if !slices.Contains([]Status{Prohibited, Surrendered, Conditional, Allowed}, rule.Status) {
			w.fail(fmt.Errorf("status %q: want prohibited, surrender_typical, conditional or allowed", rule.Status))
		}
		if w.err != nil {
			return w.err
		}
		r.rules[k] = rule
	}
	return nil
}

func (r *Rules) loadAlcohol(files fs.FS) error {
	rows, err := readTable(files, "alcohol.csv", "country", "kind", "amount", "unit", "note", "source", "evidence")
	if err != nil {
		return err
	}
	for _, w := range rows {
		a := Allowance{
			Zone: w.text("country"), Kind: w.text("kind"), Amount: w.number("amount"), Unit: w.text("unit"),
			Note: w.text("note"), Source: w.text("source"), Evidence: w.text("evidence"),
		}
		if !(a.Amount > 0) {
			w.fail(fmt.Errorf("amount %q: want more than 0", w.text("amount")))
		}
		if w.err != nil {
			return w.err
		}
		r.alcohol[a.Zone] = append(r.alcohol[a.Zone], a)
	}
	return nil
}
