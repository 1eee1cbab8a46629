package api

import (
	"context"
	"math"

	"hardtack/pricing/calendar"
	"hardtack/route/brief"
	"hardtack/route/inventory/usage"
	"hardtack/route/logbook"
	"hardtack/route/tankage"
	"hardtack/route/vessel"
)

// Tank is how water or gas stands.
type Tank struct {
	Aboard  float64             `json:"aboard"` // L or kg
	Unit    string              `json:"unit"`
	People  float64             `json:"people"`
	Rate    float64             `json:"rate"` // a person and day
	SD      float64             `json:"sd"`
	List    float64             `json:"list"`  // what was believed before anything was read
	Trips   int                 `json:"trips"` // stretches learned from
	Lasts50 float64             `json:"lasts_50"`
	Lasts90 float64             `json:"lasts_90"`
	Lasts99 float64             `json:"lasts_99"`
	Passage []tankage.Endurance `json:"passage"` // at its 50, 90 and 99 % lengths
	Caution string              `json:"caution"`
	Notes   []string            `json:"notes"`
	Doses   []tankage.Dose      `json:"doses,omitempty"`
	Needs   []tankage.Figure    `json:"needs,omitempty"`
}

// TankOptions say for what passage.
type TankOptions struct {
	Crew   string
	Voyage string
	Days   float64 // of the passage; 0: the voyage's next leg
	Ocean  bool    // with Days: how unsure they are
	Made   float64 // litres a day of the watermaker to rely on; 0: none
}

// What the catalogue's lists say of water and gas is believed with these
// spreads between crews (trade).
const (
	waterSpread = 0.35
	gasSpread   = 0.35
)

// Water is how water stands: learned from the readings, for a passage.
func (s *Service) Water(ctx context.Context, vesselID string, o TankOptions) (Tank, error) {
	t, err := s.tank(ctx, vesselID, o)
	if err != nil {
		return Tank{}, err
	}
	b := tankage.Water(t.log, t.heads, s.Today(), s.listRate("water"), waterSpread)
	out := t.stands(b, t.waterAboard(), o.Made)
	out.Unit, out.Caution, out.Doses, out.Needs = "L", tankage.WaterCaution, tankage.Doses(), tankage.WaterNeeds()
	out.Notes = []string{
		"Rain is a bonus and never planned.",
		"Read the tanks before and after a passage and write it down: two readings teach what you use.",
	}
	if b.Mean() < tankage.Least {
		out.Notes = append(out.Notes, "What was learned lies below the least for drinking and food: look for a misread tank before you trust it.")
	}
	return out, nil
}

// Gas is how gas stands: learned from the days cylinders were put on.
func (s *Service) Gas(ctx context.Context, vesselID string, o TankOptions) (Tank, error) {
	t, err := s.tank(ctx, vesselID, o)
	if err != nil {
		return Tank{}, err
	}
	b := tankage.Gas(t.log, t.heads, s.Today(), s.listRate("lpg"), gasSpread)
	t.vessel.Cylinders = tankage.Now(t.vessel.Cylinders, t.log, t.heads, s.Today(), b)
	out := t.stands(b, t.vessel.GasKg(), 0)
	out.Unit, out.Caution, out.Notes = "kg", tankage.GasCaution, tankage.GasNotes()
	for _, e := range logbook.Between(t.log, 0, 1<<30, logbook.Remark) {
		if e.Item == "lpg" {
			out.Notes = append(out.Notes, e.Place+": "+e.Note)
		}
	}
	return out, nil
}

// tanked is what water and gas are reckoned from.
type tanked struct {
	vessel  vessel.Vessel
	crew    vessel.Crew
	log     []logbook.Entry
	passage tankage.Passage
	lots    float64 // litres of water by the book
	jugs    float64 // of it in jugs and bottles
	today   calendar.Day
}

func (s *Service) tank(ctx context.Context, vesselID string, o TankOptions) (tanked, error) {
	v, err := s.Vessel(ctx, vesselID)
	if err != nil {
		return tanked{}, err
	}
	t := tanked{vessel: v.Value, today: s.Today(), passage: tankage.Passage{Days: o.Days, Spread: tankage.CoastalSpread}}
	if t.crew, err = s.crewFor(ctx, o.Crew); err != nil {
		return t, err
	}
	if o.Ocean {
		t.passage.Spread = tankage.OceanSpread
	}
	if o.Days == 0 {
		if t.passage, err = s.nextLeg(ctx, o.Voyage); err != nil {
			return t, err
		}
	}
	if !(t.passage.Days > 0 && t.passage.Days < 1000) {
		var fs faults
		fs.add("days", "none", "how many days the passage is planned to take, or a voyage with a leg to come")
		return t, fs.err("passage")
	}
	lots, _, err := s.db.Lots(ctx, vesselID)
	if err != nil {
		return t, err
	}
	for _, l := range lots {
		if n, ok := s.world.Catalogue.NeedOf(l.Item); ok && n.Group == "water" {
			a, _ := n.Alternate(l.Item)
			litres := l.Quantity.Units() * a.Yield
			t.lots += litres
			if l.Space != string(vessel.Tank) {
				t.jugs += litres
			}
		}
	}
	t.log, err = s.db.Log(ctx, vesselID, 0, 0)
	return t, err
}

// listRate is what the catalogue says of a group's first need.
func (s *Service) listRate(group string) float64 {
	for _, n := range s.world.Catalogue.Needs {
		if n.Group == group {
			return n.PerPersonDay
		}
	}
	return 0
}

// nextLeg is the way to come; its spread is that of its nine-in-ten length.
func (s *Service) nextLeg(ctx context.Context, voyage string) (tankage.Passage, error) {
	id, err := s.voyageFor(ctx, voyage)
	if err != nil {
		return tankage.Passage{}, err
	}
	it, err := s.Itinerary(ctx, id)
	if err != nil {
		return tankage.Passage{}, err
	}
	const normal90 = 1.2815515655446004 // Φ⁻¹(0.9)
	for k, w := range it.Ways {
		if it.Calls[k+1].Arrive >= float64(s.Today()-it.Start) && w.MedianDays > 0 {
			return tankage.Passage{Days: w.MedianDays, Spread: max(0, math.Log(w.Days90/w.MedianDays)/normal90)}, nil
		}
	}
	return tankage.Passage{}, nil
}

// heads are the person-days of the crew between two days.
func (t tanked) heads(from, to calendar.Day) float64 {
	return t.crew.PersonDays(from, 0, float64(to-from), vessel.Heads)
}

// waterAboard is the last reading of the tanks and what lies in jugs and
// bottles; without a reading what the book has of tank water.
func (t tanked) waterAboard() float64 {
	levels := logbook.Between(t.log, 0, 1<<30, logbook.WaterLevel)
	if len(levels) == 0 {
		return t.lots
	}
	last := levels[len(levels)-1]
	return t.jugs + last.Amount + logbook.Sum(t.log, last.Day+1, 1<<30, logbook.WaterFilled, logbook.WaterMade, logbook.Rain) -
		logbook.Sum(t.log, last.Day+1, 1<<30, logbook.WaterLost)
}

func (t tanked) stands(b usage.Belief, aboard, made float64) Tank {
	s := tankage.Supply{Aboard: aboard, PerDay: made, People: t.heads(t.today, t.today+1)}
	return Tank{
		Aboard: aboard, People: s.People, Rate: b.Mean(), SD: b.SD(), List: b.ListRate, Trips: b.Trips,
		Lasts50: tankage.Lasts(s, b, 0.5), Lasts90: tankage.Lasts(s, b, 0.9), Lasts99: tankage.Lasts(s, b, 0.99),
		Passage: tankage.Stands(s, b, t.passage),
	}
}

// learnedTanks fills what the skipper did not say of water and gas from what
// was learned, never below the least for drinking and food, and takes off the
// cylinder in use what was burnt since it was put on.
func (s *Service) learnedTanks(ctx context.Context, in *brief.Input) error {
	log, err := s.db.Log(ctx, in.Vessel.ID, 0, 0)
	if err != nil {
		return err
	}
	t, o := tanked{crew: in.Crew, log: log}, &in.Options
	if b := tankage.Water(log, t.heads, s.Today(), s.listRate("water"), waterSpread); o.WaterLPerDay == 0 && b.Trips > 0 {
		o.WaterLPerDay = max(b.Mean(), tankage.Least)
	}
	b := tankage.Gas(log, t.heads, s.Today(), s.listRate("lpg"), gasSpread)
	if o.GasKgPerDay == 0 && b.Trips > 0 {
		o.GasKgPerDay = b.Mean()
	}
	in.Vessel.Cylinders = tankage.Now(in.Vessel.Cylinders, log, t.heads, s.Today(), b)
	return nil
}
