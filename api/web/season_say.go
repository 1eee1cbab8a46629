package web

import (
	"math"
	"strings"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/route/brief"
	"hardtack/route/season"
)

// firstLacking is the day from which a need goes unmet.
func firstLacking(x api.Planned, need string) calendar.Day {
	first := spanOf(x)
	for _, m := range x.Plan.Missing {
		if day, ok := periodBegins(x, m.Period); ok && m.Need == need {
			first = min(first, day)
		}
	}
	return dayOf(x, first)
}

// needName is the name of a need of the plan's brief.
func (q *request) needName(x api.Planned, id string) string {
	note, ok := x.Notes.Need(id)
	if !ok {
		return id
	}
	return q.words.need(note)
}

// doubts are the plan's warnings, which begin with a need and a period.
func (q *request) doubts(f *Frame, x api.Planned) []string {
	var out []string
	for _, warning := range x.Plan.Warnings {
		id, rest, _ := strings.Cut(warning, ", ")
		period, _, _ := strings.Cut(rest, ":")
		if day, ok := periodBegins(x, period); ok {
			warning = q.say("season.dear", q.needName(x, id), f.Date(dayOf(x, day)))
		}
		out = append(out, warning)
	}
	return out
}

func lost(ls []brief.Lost) float64 {
	sum := 0.0
	for _, l := range ls {
		sum += l.Cost
	}
	return sum
}

// stale says whether the voyage, the boat or the crew was changed after a plan
// was kept: revisions count all changes of the database.
func (q *request) stale(voyage string, plan int64) (bool, error) {
	v, err := q.svc.Voyage(q.r.Context(), voyage)
	if err != nil {
		return false, err
	}
	_, boat, err := q.vessel()
	if err != nil {
		return false, err
	}
	_, crew, err := q.crew()
	return max(v.Revision, boat, crew) > plan, err
}

// dangers is what nobody may sail without knowing.
func (q *request) dangers(x api.Planned) []string {
	var out []string
	for _, l := range x.Lacking() {
		if l.Class == item.Safety {
			out = append(out, q.say("danger.lacking", q.needName(x, l.Need)))
		}
	}
	for _, e := range x.Endurance {
		if !e.Enough {
			out = append(out, q.say("danger.endurance", q.needName(x, e.Need), x.Notes.Stops[e.Leg].Name, x.Notes.Stops[e.Leg+1].Name))
		}
	}
	return out
}

func (q *request) habits(x api.Planned) []habitRow {
	names := map[string]string{season.FirstPort: "habit.first", season.EachLeg: "habit.each", season.Ahead: "habit.ahead"}
	var out []habitRow
	own := x.Plan.Cost
	for _, h := range x.Habits {
		out = append(out, habitRow{
			q.say(names[h.Name]), h.Spent, h.Spent - own.Goods - own.Trips, max(0, h.Shortage-own.Missing-own.ReserveMissing),
		})
	}
	return out
}

func stopRows(x api.Planned, levels []brief.Level) []stopRow {
	var out []stopRow
	for i, s := range x.Notes.Stops {
		row := stopRow{
			N: len(out) + 1, Stop: i, Name: s.Name, Port: string(s.Port), Arrive: dayOf(x, s.Arrive), Depart: dayOf(x, s.Depart),
		}
		if stay := s.Depart - s.Arrive; stay > 0 {
			row.Crew = s.PersonDays / stay
		}
		for _, l := range x.Review.Loads {
			if l.Stop == i {
				row.Trips, row.Lines, row.Kg, row.Spend = l.Trips, l.Lines, l.Kg, l.Spend
			}
		}
		for _, l := range levels {
			row.Fill = append(row.Fill, l.Leaving[i])
		}
		out = append(out, row)
	}
	return out
}

func dayOf(x api.Planned, at float64) calendar.Day {
	return x.Notes.Start + calendar.Day(math.Floor(at+1e-9))
}
