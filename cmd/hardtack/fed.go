package main

import (
	"io"
	"strings"
	"text/tabwriter"

	"hardtack/api"
	"hardtack/pricing/wording"
	"hardtack/route/shopping"
)

type fedCmd struct {
	Voyage string `arg:"" optional:"" help:"The voyage; default the only one."`
}

// Help implements kong's HelpProvider.
func (fedCmd) Help() string {
	return `Sets what the last plan gives to eat beside what the crew needs: energy and
protein a person and day, by stay and leg; what each person needs by age, sex
and activity; and for whom to read the label of what. Never advice on health.

Example:
  hardtack fed`
}

// Run tells the figures.
func (c *fedCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		id, err := sh.voyageOf(s, c.Voyage)
		if err != nil {
			return err
		}
		f, err := s.Feeding(sh.ctx, id)
		if err != nil {
			return err
		}
		return sh.emit(f, func(w io.Writer) error { return describeFeeding(w, f) })
	})
}

func describeFeeding(w io.Writer, f api.Feeding) error {
	pr := &printer{w: w}
	for _, c := range f.Cautions {
		pr.f("%s\n", c)
	}
	pr.f("\nA person and day on full board: %.0f kcal of a need of %.0f; protein %.0f g, safe from %.0f g.\n\n", f.Kcal, f.KcalNeed, f.ProteinG, f.ProteinMin)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	row := &printer{w: t}
	row.f("Where\tFrom\tTo\tkcal\tNeed\tProtein g\tSafe from\n")
	for _, p := range f.Parts {
		where, short := p.Name, ""
		if p.AtSea {
			where += " to " + p.Next
		}
		if p.Short {
			short = "little"
		}
		row.f("%s\t%s\t%s\t%.0f\t%.0f\t%.0f\t%.0f\t%s\n", where, p.First, p.Last, p.Kcal, p.KcalNeed, p.ProteinG, p.ProteinMin, short)
	}
	row.f("\nWho\tAge\tDays aboard\tkcal at anchor\tusual\thard passage\tProtein g\n")
	for _, e := range f.Persons {
		row.f("%s\t%.0f\t%.0f\t%s\t%.0f\t%s\t%.0f\n", e.Name, e.Age, e.Days, dash(e.KcalRest), e.Kcal, dash(e.KcalHard), e.ProteinG)
	}
	if row.err == nil {
		row.err = t.Flush()
	}
	for _, e := range f.Persons {
		describeDiet(pr, e)
	}
	if pr.err == nil {
		pr.err = row.err
	}
	return pr.err
}

// dash is a whole number, or a dash where there is none.
func dash(x float64) string {
	if x == 0 {
		return "–"
	}
	return figures(x)
}

func describeDiet(pr *printer, e api.Eater) {
	if len(e.NotEating) == 0 {
		return
	}
	pr.f("\n%s does not eat: %s.\n", e.Name, avoided(e.NotEating))
	for _, r := range e.Read {
		pr.f("  read the label: %s, for %s\n", r.Name, avoided(r.For))
	}
	var others []string
	for _, n := range e.NotOf {
		others = append(others, n.Name)
	}
	if len(others) > 0 {
		pr.f("  for the others only: %s\n", strings.Join(others, "; "))
	}
}

func avoided(words []string) string { return wording.English().Fact(shopping.AllAvoided(words)) }
