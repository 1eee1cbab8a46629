package vessel

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"hardtack/pricing/item"
	"hardtack/pricing/wording"
)

// ErrInvalid is any vessel or crew that cannot be planned with. The message
// names the path of each fault and what was expected there.
var ErrInvalid = errors.New("invalid")

// faults collects every fault of a value, so that one reading mends them all.
type faults []error

func (f *faults) add(path, key string, facts ...wording.Fact) {
	*f = append(*f, fmt.Errorf("%s: %w", path, wording.Fail(key, facts...)))
}

// number wants x within [lo, hi]; NaN and infinities are outside.
func (f *faults) number(path string, x, lo, hi float64) {
	if math.IsNaN(x) || x < lo || x > hi {
		f.add(path, "fault.range", plain(x), plain(lo), plain(hi))
	}
}

// plain is a number as it was given.
func plain(x float64) wording.Fact { return wording.Text(fmt.Sprint(x)) }

func (f faults) err(what string) error {
	if len(f) == 0 {
		return nil
	}
	return fmt.Errorf("%s: %w: %w", what, ErrInvalid, errors.Join(f...))
}

// Largest values that are taken for real rather than for a slip.
const (
	maxLitres = 20_000
	maxKg     = 20_000
)

// Validate checks the whole vessel and names every fault with its path. Its
// error is ErrInvalid.
func (v Vessel) Validate() error {
	var f faults
	if v.Name == "" && v.ID == "" {
		f.add("name", "fault.vessel_name")
	}
	v.checkSpaces(&f)
	if v.PayloadKg != nil {
		f.number("payload_kg", *v.PayloadKg, 0, maxKg)
	}
	f.number("water_tank_l", v.WaterTankL, 0, maxLitres)
	f.number("watermaker_l_per_day", v.WatermakerLPerDay, 0, maxLitres)
	for i, c := range v.Cylinders {
		path := fmt.Sprintf("cylinders[%d]", i)
		f.number(path+".kg", c.Kg, 0.1, 50)
		f.number(path+".full", c.Full, 0, 1)
	}
	return f.err("vessel")
}

func (v Vessel) checkSpaces(f *faults) {
	seen := map[string]bool{}
	for i, s := range v.Spaces {
		path := fmt.Sprintf("spaces[%d]", i)
		switch {
		case s.ID == "":
			f.add(path+".id", "fault.space_id")
		case seen[s.ID]:
			f.add(path+".id", "fault.space_taken", wording.Text(s.ID))
		}
		seen[s.ID] = true
		if !s.Kind.Known() {
			f.add(path+".kind", "fault.one_of", wording.Text(string(s.Kind)), wording.Text(fmt.Sprint(Kinds())))
		}
		f.number(path+".litres", s.Litres, 0, maxLitres)
		f.number(path+".crates", s.Crates, 0, 500)
		f.number(path+".bags", s.Bags, 0, 500)
		f.number(path+".usable", s.Usable, 0, 1)
		if s.TempC != nil {
			f.number(path+".temp_c", *s.TempC, -40, 60)
		}
	}
}

// Validate checks the whole crew and names every fault with its path. Its
// error is ErrInvalid. Words in NotEating are checked by CheckWords.
func (c Crew) Validate() error {
	var f faults
	if len(c.Persons) == 0 {
		f.add("persons", "fault.nobody")
	}
	seen := map[string]bool{}
	for i, p := range c.Persons {
		path := fmt.Sprintf("persons[%d]", i)
		switch {
		case p.ID == "":
			f.add(path+".id", "fault.person_id")
		case seen[p.ID]:
			f.add(path+".id", "fault.person_taken", wording.Text(p.ID))
		}
		seen[p.ID] = true
		p.check(path, &f)
	}
	return f.err("crew")
}

func (p Person) check(path string, f *faults) {
	f.number(path+".age", p.Age, 0, 110)
	if !slices.Contains([]Sex{Female, Male, Unsaid}, p.Sex) {
		f.add(path+".sex", "fault.sex", wording.Text(string(p.Sex)))
	}
	if p.MassKg != 0 {
		f.number(path+".mass_kg", p.MassKg, 2, 250)
	}
	f.number(path+".appetite", p.Appetite, 0, 3)
	for k, x := range p.Factors {
		at := path + ".factors." + k
		f.number(at, x, 0, 10)
		if !slices.Contains(appetites, item.Appetite(k)) {
			f.add(at, "fault.one_of", wording.Text(k), wording.Text(fmt.Sprint(appetites)))
		}
	}
	for i, s := range p.Aboard {
		if !s.From.IsZero() && !s.To.IsZero() && s.To < s.From {
			f.add(fmt.Sprintf("%s.aboard[%d]", path, i), "fault.ends", wording.Day(s.To), wording.Day(s.From))
		}
	}
}

var appetites = []item.Appetite{item.Food, item.Coffee, item.Alcohol, item.Infant, item.Baby, item.Person, item.Menstrual, item.Pet}
