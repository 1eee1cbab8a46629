package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/route/brief"
	"hardtack/route/plan"
	"hardtack/route/season"
)

// describePlan prints a plan the way a skipper reads it: what share of the
// money is guessed, what it costs, whether the crew is fed, where the shopping
// days are, how full the boat gets, and how long water and gas last.
func describePlan(w io.Writer, p api.Planned) error {
	pr := &printer{w: w}
	pr.f("%s\n%s\n\n", p.Title, strings.Repeat("=", min(78, len([]rune(p.Title)))))
	describeDanger(pr, p)
	describeMoney(pr, p)
	describeFood(pr, p)
	describeStops(pr, p)
	describeRoom(pr, p)
	describeEndurance(pr, p)
	describeDoubts(pr, p)
	return pr.err
}

// describeDanger comes first: who goes short of water, gas, infant food or
// medicine must not find out further down.
func describeDanger(pr *printer, p api.Planned) {
	var short []string
	for _, l := range p.Lacking() {
		if l.Class == item.Safety {
			short = append(short, strings.ToLower(l.Name)+" runs out")
		}
	}
	for _, e := range p.Endurance {
		if !e.Enough {
			from, to := stopsOf(p, e.Leg)
			short = append(short, fmt.Sprintf("%s would not last a long passage from %s to %s", lastWord(e.Name), from, to))
		}
	}
	if len(short) > 0 {
		pr.f("NOT SAFE AS IT STANDS: %s.\nCarry more, shorten the leg or change the brief before you sail on this plan.\n\n", strings.Join(short, "; "))
	}
}

func describeMoney(pr *printer, p api.Planned) {
	r, c := p.Review, p.Plan.Cost
	guess := fmt.Sprintf("%.0f %% of the money rests on guessed prices", 100*r.GuessShare)
	if r.GuessShare == 0 {
		guess = "Every price rests on reports"
	}
	pr.f("%s.\n", guess)
	pr.f("Shopping %.0f %s", c.Goods, p.Plan.Currency)
	if r.PersonDays > 0 {
		pr.f(", %.2f per person and day aboard (%.0f of them)", c.Goods/r.PersonDays, r.PersonDays)
	}
	pr.f("; ways to the shops %.0f, going without %.0f.\n", c.Trips, c.Missing)
	pr.f("With the taste of second choices (%.0f), the bother of lines (%.0f) and reserves lacking (%.0f) the plan counts %.2f;\n",
		c.Taste, c.Lines, c.ReserveMissing, c.Total)
	pr.f("no plan can count less than %.2f, so this one is within %.2f %% of the best. Found in %.1f s.\n", p.Plan.Bound, 100*p.Plan.Gap, p.Seconds)
	for _, h := range p.Habits {
		pr.f("  %s.\n", habitWords(h, p.Plan))
	}
}

func describeFood(pr *printer, p api.Planned) {
	r := p.Review
	if r.KcalNeed > 0 {
		pr.f("\nPer person and day: %.0f kcal against a need of %.0f (%+.0f %%), %.0f g of protein (safe from %.0f).\n",
			r.Kcal, r.KcalNeed, 100*(r.Kcal/r.KcalNeed-1), r.ProteinG, r.ProteinMin)
	}
	pr.f("Taken away at borders: %.2f %s (%.1f %% of the spend); spoilt: %.2f; left at the end: %.0f.\n",
		costOf(r.Surrendered), p.Plan.Currency, 100*r.LostShare(r.Surrendered), costOf(r.Spoilt), r.Left)
	if missing := byNeed(p); len(missing) > 0 {
		pr.f("Going without: %s.\n", strings.Join(missing, "; "))
	}
}

func costOf(lost []brief.Lost) float64 {
	sum := 0.0
	for _, l := range lost {
		sum += l.Cost
	}
	return sum
}

// byNeed says what is missing of each need, with its name.
func byNeed(p api.Planned) []string {
	var out []string
	for _, l := range p.Lacking() {
		out = append(out, fmt.Sprintf("%s of %s %s %s", figures(l.Missing), figures(l.Use), l.Unit, strings.ToLower(l.Name)))
	}
	return out
}

// figures is an amount to two figures or to the whole number.
func figures(x float64) string {
	if x >= 100 {
		return fmt.Sprintf("%.0f", x)
	}
	return fmt.Sprintf("%.2g", x)
}

func describeStops(pr *printer, p api.Planned) {
	t := tabwriter.NewWriter(pr.w, 0, 0, 2, ' ', tabwriter.AlignRight)
	row := func(format string, a ...any) { fmt.Fprintf(t, format, a...) }
	row("\n\tStop\tArrive\tSail\tTrips\tkg\tThings\t%s\t\n", p.Plan.Currency)
	for _, l := range p.Review.Loads {
		s := p.Notes.Stops[l.Stop]
		row("%d\t%s\t%s\t%s\t%d\t%.0f\t%d\t%.0f\t\n", l.Stop, s.Name, day(p, s.Arrive), day(p, s.Depart), l.Trips, l.Kg, l.Lines, l.Spend)
	}
	if err := t.Flush(); pr.err == nil {
		pr.err = err
	}
}

func day(p api.Planned, x float64) calendar.Day { return p.Notes.Start + calendar.Day(x+1e-9) }

func describeRoom(pr *printer, p api.Planned) {
	pr.f("\nFullest:")
	for _, f := range p.Review.Fill {
		if f.Litres > 0 {
			pr.f(" %s %.0f of %.0f L (%s);", f.Space, f.Litres, f.Room, p.Notes.Stops[f.Stop].Name)
		}
	}
	pr.f("\n")
}

// describeEndurance has one line for a leg: water on ration with the
// watermaker dead, gas as usual.
func describeEndurance(pr *printer, p api.Planned) {
	if len(p.Endurance) == 0 {
		return
	}
	pr.f("\nHow long water (on ration, watermaker dead) and gas last from each departure:\n")
	for k, e := range p.Endurance {
		if k == 0 || p.Endurance[k-1].Leg != e.Leg {
			from, to := stopsOf(p, e.Leg)
			pr.f("  %s to %s, %.0f days, a long passage %.0f:", from, to, e.Median, math.Ceil(e.Long))
		}
		short := ""
		if !e.Enough {
			short = " NOT ENOUGH"
		}
		pr.f(" %s %.0f %s to %s%s", lastWord(e.Name), e.Aboard, e.Unit, e.Day, short)
		if k+1 < len(p.Endurance) && p.Endurance[k+1].Leg == e.Leg {
			pr.f(",")
		} else {
			pr.f("\n")
		}
	}
}

// lastWord is the last word of a need's name: "cooking gas" is gas.
func lastWord(name string) string {
	words := strings.Fields(strings.ToLower(name))
	if len(words) == 0 {
		return name
	}
	return words[len(words)-1]
}

func stopsOf(p api.Planned, leg int) (from, to string) {
	return p.Notes.Stops[leg].Name, p.Notes.Stops[leg+1].Name
}

func describeDoubts(pr *printer, p api.Planned) {
	if len(p.Plan.Warnings) > 0 {
		pr.f("\nWarnings:\n")
	}
	for _, x := range p.Plan.Warnings {
		pr.f("- %s\n", x)
	}
	pr.f("\nWhat this rests on:\n")
	for _, x := range p.Notes.Said {
		pr.f("- %s\n", x)
	}
}

// habitWords sets a plain habit beside the plan: money and shortage apart.
func habitWords(h api.Habit, p plan.Plan) string {
	money := p.Cost.Goods + p.Cost.Trips
	short := ""
	if missing := p.Cost.Missing + p.Cost.ReserveMissing; h.Shortage-missing > 0.01*p.Cost.Total {
		short = fmt.Sprintf("; and goes short of what would count %.0f more", h.Shortage-missing)
	}
	return fmt.Sprintf("Shopping %s: %.0f %s with ways to the shops, %+.0f against the plan%s", habitNames[h.Name], h.Spent, p.Currency, h.Spent-money, short)
}

var habitNames = map[string]string{
	season.FirstPort: "once where prices are good, else as it comes", season.EachLeg: "for each leg as it comes",
	season.Ahead: "for each leg, and what keeps at the cheapest port ahead",
}
