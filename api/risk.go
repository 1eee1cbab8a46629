package api

import (
	"cmp"
	"context"
	"errors"
	"fmt"

	"hardtack/route/plan"
	"hardtack/route/risk"
)

// RiskOptions say how the season is walked.
type RiskOptions struct {
	Walks    int       `json:"walks,omitzero"` // seasons, up to 10,000; 0 = 2000
	Seed     uint64    `json:"seed,omitzero"`
	Plainly  bool      `json:"plainly,omitempty"` // shop as if every price and shelf ahead were as estimated
	Remedies int       `json:"remedies,omitzero"` // needs to look for single purchases for, up to 10
	Chances  []float64 `json:"chances,omitempty"` // wished chances of having enough on a leg, to find reserves for
	Wish     float64   `json:"wish,omitzero"`     // chance that a thing lasts through a stay or leg, to find the cheapest reserve for
}

// Risky is what may become of a voyage's last plan.
type Risky struct {
	Voyage   string          `json:"voyage"`
	Currency string          `json:"currency"`
	Report   risk.Report     `json:"report"`
	Caution  risk.Difference `json:"caution"` // what shopping with caution adds, against plainly
	Remedies []risk.Remedy   `json:"remedies"`
	Reserves []risk.Meeting  `json:"reserves"`
	Keeping  *risk.Keeping   `json:"keeping,omitempty"` // the reserve for the wish
}

const (
	mostWalks    = 10_000
	mostRemedies = 10
	mostChances  = 5
	chanceWalks  = 400 // for each wished chance
)

func (o RiskOptions) check() error {
	var fs faults
	if o.Walks < 0 || o.Walks > mostWalks {
		fs.add("walks", fmt.Sprint(o.Walks), fmt.Sprintf("0 to %d", mostWalks))
	}
	if o.Remedies < 0 || o.Remedies > mostRemedies {
		fs.add("remedies", fmt.Sprint(o.Remedies), fmt.Sprintf("0 to %d", mostRemedies))
	}
	if len(o.Chances) > mostChances {
		fs.add("chances", fmt.Sprintf("%d", len(o.Chances)), fmt.Sprintf("at most %d", mostChances))
	}
	if o.Wish != 0 && !(o.Wish >= 0.5 && o.Wish <= 0.999) {
		fs.add("wish", fmt.Sprint(o.Wish), "0.5 to 0.999")
	}
	for i, c := range o.Chances {
		if !(c >= 0.5 && c <= 0.999) {
			fs.add(fmt.Sprintf("chances[%d]", i), fmt.Sprint(c), "0.5 to 0.999")
		}
	}
	return fs.err("risk")
}

// Risk walks the season of a voyage's last plan many times. Errors:
// ErrNotFound (no plan), ErrInvalid.
func (s *Service) Risk(ctx context.Context, voyage string, o RiskOptions) (Risky, error) {
	if err := o.check(); err != nil {
		return Risky{}, err
	}
	kept, err := s.LastPlan(ctx, voyage)
	if err != nil {
		return Risky{}, err
	}
	p := kept.Value
	d, err := s.doubt(ctx, voyage, Briefed{p.Brief, p.Notes})
	if err != nil {
		return Risky{}, err
	}
	out, err := RiskOf(ctx, p.Brief, d, p.Plan, o)
	out.Voyage = voyage
	if err != nil {
		return Risky{}, fmt.Errorf("risk of voyage %s: %w", voyage, err)
	}
	return out, nil
}

// RiskOf is Risk of a brief and a plan that need not be kept. Its error is
// ErrInvalid where they do not fit.
func RiskOf(ctx context.Context, b plan.Brief, d risk.Doubt, p plan.Plan, o RiskOptions) (Risky, error) {
	if err := o.check(); err != nil {
		return Risky{}, err
	}
	out, err := riskOf(ctx, b, d, p, o)
	if errors.Is(err, risk.ErrInput) || errors.Is(err, plan.ErrMalformed) {
		return out, invalid("risk", err)
	}
	return out, err
}

func riskOf(ctx context.Context, b plan.Brief, d risk.Doubt, p plan.Plan, o RiskOptions) (Risky, error) {
	out := Risky{Currency: b.Currency, Remedies: []risk.Remedy{}, Reserves: []risk.Meeting{}}
	walk := risk.Options{Walks: o.Walks, Seed: o.Seed, Policy: risk.Careful}
	careful, err := risk.Walk(ctx, b, d, p, walk)
	if err != nil {
		return out, err
	}
	walk.Policy = risk.Plain
	plain, err := risk.Walk(ctx, b, d, p, walk)
	if err != nil {
		return out, err
	}
	out.Caution = risk.Compare(plain, careful)
	shown := plain
	if !o.Plainly {
		shown, walk.Policy = careful, risk.Careful
	}
	out.Report = shown.Report()
	if o.Remedies > 0 {
		if out.Remedies, err = shown.Remedies(ctx, b, d, p, walk, o.Remedies); err != nil {
			return out, err
		}
	}
	walk.Walks = min(cmp.Or(o.Walks, chanceWalks), chanceWalks)
	if o.Wish > 0 {
		k, err := risk.Keep(ctx, b, d, p, o.Wish, walk)
		if err != nil {
			return out, err
		}
		out.Keeping = &k
	}
	if len(o.Chances) > 0 {
		if out.Reserves, err = risk.Meet(ctx, b, d, o.Chances, plan.Budget{}, walk); err != nil {
			return out, err
		}
	}
	return out, nil
}
