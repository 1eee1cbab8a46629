package main

import (
	"errors"
	"fmt"
	"io"

	"hardtack/route/plan"
)

type verifyCmd struct {
	Brief string `arg:"" help:"The brief, a JSON file; - is standard input."`
	Plan  string `arg:"" help:"The plan, a JSON file."`
}

// Help implements kong's HelpProvider.
func (verifyCmd) Help() string {
	return `Recomputes everything a plan states from its purchases, stowage, meals and
discards alone, and names every rule of the brief it breaks. Shares no code
with the planner.

Example:
  hardtack verify brief.json plan.json`
}

// verdict is what verify finds, as JSON.
type verdict struct {
	Valid      bool             `json:"valid"`
	Total      float64          `json:"total"`
	Bound      float64          `json:"bound"`
	Gap        float64          `json:"gap"`
	Violations []plan.Violation `json:"violations,omitempty"`
}

// Run checks the plan; a broken rule is exit code 5.
func (c *verifyCmd) Run(sh *shell) error {
	b, err := sh.readBrief(c.Brief)
	if err != nil {
		return err
	}
	p, err := sh.readPlan(c.Plan)
	if err != nil {
		return err
	}
	v := verdict{Total: p.Cost.Total, Bound: p.Bound, Gap: p.Gap}
	var broken plan.Violations
	switch err := plan.Verify(b, p); {
	case errors.As(err, &broken):
		v.Violations = broken
	case err != nil:
		return err
	default:
		v.Valid = true
	}
	if err := sh.emit(v, v.words); err != nil {
		return err
	}
	if !v.Valid {
		return fmt.Errorf("%w: %d of them", errBroken, len(v.Violations))
	}
	return nil
}

func (v verdict) words(w io.Writer) error {
	for _, x := range v.Violations {
		if _, err := fmt.Fprintln(w, x); err != nil {
			return err
		}
	}
	if !v.Valid {
		return nil
	}
	_, err := fmt.Fprintf(w, "The plan keeps every rule. It costs %.2f; no plan can cost less than %.2f (gap %.2f %%).\n", v.Total, v.Bound, 100*v.Gap)
	return err
}

func (sh *shell) readBrief(name string) (plan.Brief, error) {
	return read(sh, name, plan.ParseBrief)
}

func (sh *shell) readPlan(name string) (plan.Plan, error) {
	return read(sh, name, plan.ParsePlan)
}

// read parses a file; errors name it.
func read[T any](sh *shell, name string, parse func(io.Reader) (T, error)) (T, error) {
	f, err := sh.open(name)
	if err != nil {
		var none T
		return none, err
	}
	defer f.Close()
	v, err := parse(f)
	if err != nil {
		return v, fmt.Errorf("%s: %w", name, err)
	}
	return v, nil
}
