package api

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"hardtack/pricing"
	"hardtack/pricing/estimate"
	"hardtack/pricing/item"
)

// ErrQuestioned is an ErrInvalid: what is asked to be recorded is probably a
// slip, and who entered it should look again.
var ErrQuestioned = errors.New("probably a slip")

// Meant is what may have been meant by a figure that looks like a slip.
type Meant struct {
	Reason   string `json:"reason"` // decimal, pack, unit or currency
	Amount   string `json:"amount"`
	Currency string `json:"currency"`
	Pack     string `json:"pack"`
}

// AskAll says of entries which of them look like slips: an *InvalidError of
// ErrQuestioned, or nil. Nothing is recorded either way. Other errors: as
// RecordAll.
func (s *Service) AskAll(ctx context.Context, entries []Entry) error {
	reports, err := s.readEntries(ctx, "reports", reportPath, entries)
	if err != nil {
		return err
	}
	return s.ask(ctx, "reports", reportPath, reports)
}

func reportPath(i int) string { return fmt.Sprintf("reports[%d].", i) }

func linePath(i int) string { return fmt.Sprintf("lines[%d].", i) }

// AskReceipt is AskAll for the lines of a receipt.
func (s *Service) AskReceipt(ctx context.Context, r Receipt) error {
	reports, err := s.readReceipt(ctx, r)
	if err != nil {
		return err
	}
	return s.ask(ctx, "receipt", linePath, reports)
}

func (s *Service) ask(ctx context.Context, what string, path func(int) string, reports []pricing.Report) error {
	asked, err := s.questions(ctx, path, reports)
	if err != nil || asked == nil {
		return err
	}
	return &InvalidError{What: what, Faults: asked, Cause: ErrQuestioned}
}

// withQuestions adds to what was recorded what is asked about it.
func (s *Service) withQuestions(ctx context.Context, done Recorded, path func(int) string, reports []pricing.Report) (Recorded, error) {
	var err error
	done.Questions, err = s.questions(ctx, path, reports)
	return done, err
}

// questions asks about reports that look like slips, in words and with what may
// have been meant.
func (s *Service) questions(ctx context.Context, path func(int) string, reports []pricing.Report) ([]Fault, error) {
	m, err := s.recentModel(ctx)
	if err != nil {
		return nil, err
	}
	var out []Fault
	for i := range reports {
		r := &reports[i]
		if d, ask := m.Question(r); ask {
			out = append(out, question(path(i), r, d, s.world.Catalogue.Items[r.Item]))
		}
	}
	return out, nil
}

func question(prefix string, r *pricing.Report, d estimate.Doubt, it item.Item) Fault {
	f := Fault{Path: prefix + "amount"}
	var perhaps []string
	for _, c := range d.Corrections {
		m := Meant{c.Reason, c.Paid.Decimal(), string(c.Paid.Currency), c.Pack.Format(it.Unit)}
		f.Meant = append(f.Meant, m)
		perhaps = append(perhaps, meantWords(r, c, it))
	}
	f.Problem = fmt.Sprintf("%s for %s of %s is %s the usual here, about %s", r.Paid, packWords(r, it), it.Name, timesWords(d.Times), d.Usual)
	if len(perhaps) > 0 {
		f.Problem += ": " + strings.Join(perhaps, " ")
	}
	return f
}

func packWords(r *pricing.Report, it item.Item) string {
	if l := it.PackLabel(r.Pack); l != "" {
		return l
	}
	return r.Pack.Format(it.Unit)
}

// meantWords asks about what differs.
func meantWords(r *pricing.Report, c estimate.Correction, it item.Item) string {
	if c.Pack != r.Pack {
		return "For " + c.Pack.Format(it.Unit) + "?"
	}
	return c.Paid.String() + "?"
}

// timesWords says how many times as much something is.
func timesWords(times float64) string {
	if times < 1 {
		return fractionWords(1 / times)
	}
	if times < 4 {
		return fmt.Sprintf("%.1f times", times)
	}
	return fmt.Sprintf("%.0f times", times)
}

func fractionWords(by float64) string {
	n := math.Round(by)
	names := map[float64]string{2: "half", 3: "a third of", 4: "a quarter of", 10: "a tenth of", 100: "a hundredth of"}
	if w, ok := names[n]; ok {
		return w
	}
	return fmt.Sprintf("1/%.0f of", n)
}
