package api

import (
	"cmp"
	"context"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/wording"
	"hardtack/route/brief"
	"hardtack/route/shopping"
	"hardtack/route/vessel"
)

// Feeding is what the last plan of a voyage gives the crew to eat beside what
// it needs: figures of a plan, never advice on health.
type Feeding struct {
	Voyage     string           `json:"voyage"`
	PersonDays float64          `json:"person_days"` // full board
	Kcal       float64          `json:"kcal"`        // per person-day, as all below
	KcalNeed   float64          `json:"kcal_need"`
	ProteinG   float64          `json:"protein_g"`
	ProteinMin float64          `json:"protein_min_g"`
	Parts      []FedPart        `json:"parts"` // by stay and leg; none in a plan of an older version
	Persons    []Eater          `json:"persons"`
	Cautions   []wording.Remark `json:"cautions"`
}

// FedPart is a stay or a leg with its names and days.
type FedPart struct {
	brief.Fed
	Name  string       `json:"name"`              // of the stop
	Next  string       `json:"next,omitempty"`    // of the stop a leg leads to
	First calendar.Day `json:"first_day"`         // it is spent from that day
	Last  calendar.Day `json:"last_day,omitzero"` // to that
	Short bool         `json:"short"`             // less energy than the need by more than Tolerance, or less protein than is safe
}

// Tolerance is how far the energy of a plan may be from the need before a word
// is due, as a share.
const Tolerance = 0.15

// Eater is a person with what the person needs a day, and the goods of the plan
// to look at twice.
type Eater struct {
	ID        string       `json:"id"`
	Name      string       `json:"name"`
	Age       float64      `json:"age"`
	Sex       vessel.Sex   `json:"sex,omitempty"`
	Days      float64      `json:"days"` // aboard
	Kcal      float64      `json:"kcal"` // on a usual day
	KcalRest  float64      `json:"kcal_at_anchor,omitzero"`
	KcalHard  float64      `json:"kcal_hard_passage,omitzero"` // short-handed; both only for those who stand watches
	ProteinG  float64      `json:"protein_safe_g"`
	NotEating []string     `json:"not_eating,omitempty"`
	Read      []ReadItem   `json:"read,omitempty"`   // whose label to read first
	NotOf     []NamedGoods `json:"not_of,omitempty"` // eaten by others meanwhile
}

// ReadItem is an item whose label must be read, and what for.
type ReadItem struct {
	NamedGoods
	For []string `json:"for"`
}

// NamedGoods is an item by its name.
type NamedGoods struct {
	Item pricing.ItemID `json:"item"`
	Name string         `json:"name"`
}

// Feeding sets the last plan of a voyage beside the crew's needs. Errors:
// ErrNotFound (no voyage, no plan).
func (s *Service) Feeding(ctx context.Context, voyage string) (Feeding, error) {
	k, err := s.LastPlan(ctx, voyage)
	if err != nil {
		return Feeding{}, err
	}
	return s.FeedingOf(k.Value), nil
}

// FeedingOf is Feeding of a plan that need not be kept.
func (s *Service) FeedingOf(x Planned) Feeding {
	r := x.Review
	out := Feeding{
		Voyage: x.Voyage, PersonDays: r.PersonDays, Kcal: r.Kcal, KcalNeed: r.KcalNeed, ProteinG: r.ProteinG, ProteinMin: r.ProteinMin,
		Parts: []FedPart{}, Persons: []Eater{}, Cautions: []wording.Remark{wording.Say("fed.caution"), wording.Say("fed.labels")},
	}
	for _, f := range r.Fed {
		p := FedPart{Fed: f, Name: x.Notes.Stops[f.Stop].Name, First: x.Notes.Start + calendar.Day(f.From), Last: x.Notes.Start + calendar.Day(f.To)}
		if f.AtSea {
			p.Next = x.Notes.Stops[f.Stop+1].Name
		}
		p.Short = f.Kcal < (1-Tolerance)*f.KcalNeed || f.ProteinG < f.ProteinMin
		out.Parts = append(out.Parts, p)
	}
	for _, p := range x.Crew.Persons {
		out.Persons = append(out.Persons, s.eater(x, p))
	}
	return out
}

func (s *Service) eater(x Planned, p vessel.Person) Eater {
	stops := x.Notes.Stops
	e := Eater{
		ID: p.ID, Name: cmp.Or(p.Name, p.ID), Age: p.Age, Sex: p.Sex, NotEating: p.NotEating, Kcal: p.EnergyNeed(0), ProteinG: p.ProteinNeed(),
		Days: p.DaysAboard(x.Notes.Start, stops[0].Arrive, stops[len(stops)-1].Depart),
	}
	if vessel.ByAge(p.Age) == vessel.Usual {
		e.KcalRest, e.KcalHard = p.EnergyNeed(vessel.Light), p.EnergyNeed(vessel.Hard)
	}
	named := func(id pricing.ItemID) NamedGoods { return NamedGoods{id, s.world.Catalogue.Items[id].Name} }
	t := shopping.TableFor(p, x.Plan, x.Notes, s.world.Catalogue)
	for _, r := range t.Read {
		e.Read = append(e.Read, ReadItem{named(r.Item), r.For})
	}
	for _, id := range t.NotOf {
		e.NotOf = append(e.NotOf, named(id))
	}
	return e
}
