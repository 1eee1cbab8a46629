package api

import (
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"hardtack/route/review"
)

// Table is one sheet of what can be taken away: cells are texts and numbers.
type Table struct {
	Name string
	Head []string
	Rows [][]any
}

// Tables are all of a vessel's stores as tables: aboard, book, counts, usage,
// log, needs, lost, ledger.
func (s *Service) Tables(ctx context.Context, vesselID string, o ReviewOptions) ([]Table, error) {
	in, err := s.reviewInput(ctx, vesselID, o)
	if err != nil {
		return nil, err
	}
	lots, err := s.Aboard(ctx, vesselID)
	if err != nil {
		return nil, err
	}
	counts, err := s.db.Counts(ctx, vesselID)
	if err != nil {
		return nil, err
	}
	aboard := Table{Name: "aboard", Head: []string{"item", "name", "space", "locker", "amount", "unit", "bought", "port", "best_before", "opened", "for", "note"}}
	for _, l := range lots.Value {
		i := s.world.Catalogue.Items[l.Item]
		aboard.Rows = append(aboard.Rows, []any{
			string(l.Item), i.Name, l.Space, l.Locker, l.Quantity.Units(), string(i.Unit), l.Bought.String(), string(l.Port),
			l.BestBefore.String(), l.Opened.String(), string(l.For), l.Note,
		})
	}
	counted := Table{Name: "counts", Head: []string{"day", "item", "name", "unit", "book", "counted", "spoilt", "used", "found", "missing", "mark"}}
	for _, c := range counts {
		for _, l := range c.Lines {
			i := s.world.Catalogue.Items[l.Item]
			counted.Rows = append(counted.Rows, []any{
				c.Day.String(), string(l.Item), i.Name, string(i.Unit), l.Book.Units(), l.Counted.Units(), l.Spoilt.Units(), l.Used.Units(),
				l.Found.Units(), l.Missing.Units(), string(l.Mark),
			})
		}
	}
	return append([]Table{aboard, s.bookTable(in), counted, usageTable(in), logTable(in)}, reviewTables(review.Of(in))...), nil
}

func (s *Service) bookTable(in review.Input) Table {
	t := Table{Name: "book", Head: []string{
		"day", "kind", "item", "name", "amount", "unit", "from", "to", "cause", "party", "loan", "for", "port", "paid", "currency", "note",
	}}
	for _, m := range in.Moves {
		i := s.world.Catalogue.Items[m.Item]
		paid := any("")
		if m.Paid.Minor != 0 {
			paid = m.Paid.Float()
		}
		t.Rows = append(t.Rows, []any{
			m.Day.String(), string(m.Kind), string(m.Item), i.Name, m.Quantity.Units(), string(i.Unit), m.From, m.To, string(m.Cause), m.Party,
			yes(m.Loan), string(m.For), string(m.Port), paid, string(m.Paid.Currency), m.Note,
		})
	}
	return t
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return ""
}

func usageTable(in review.Input) Table {
	t := Table{Name: "usage", Head: []string{"need", "from", "to", "person_days", "used", "per_person_day", "ran_out"}}
	for _, r := range in.Records {
		rate := 0.0
		if r.PersonDays > 0 {
			rate = r.Used / r.PersonDays
		}
		t.Rows = append(t.Rows, []any{r.Need, r.From.String(), r.To.String(), r.PersonDays, r.Used, rate, yes(r.RanOut)})
	}
	return t
}

func logTable(in review.Input) Table {
	t := Table{Name: "log", Head: []string{"day", "kind", "amount", "place", "item", "note"}}
	for _, e := range in.Log {
		t.Rows = append(t.Rows, []any{e.Day.String(), string(e.Kind), e.Amount, e.Place, string(e.Item), e.Note})
	}
	return t
}

func reviewTables(r review.Review) []Table {
	needs := Table{Name: "needs", Head: []string{"need", "name", "unit", "used", "per_person_day", "list", "ran_out"}}
	for _, n := range r.Needs {
		needs.Rows = append(needs.Rows, []any{n.Need, n.Name, string(n.Unit), n.Used, n.Actual, n.List, yes(n.RanOut)})
	}
	lost := Table{Name: "lost", Head: []string{"cause", "place", "kg", "worth", "items"}}
	for _, l := range r.Lost {
		lost.Rows = append(lost.Rows, []any{string(l.Cause), l.Place, l.Kg, l.Worth, strings.Join(l.Items, "; ")})
	}
	ledger := Table{Name: "ledger", Head: []string{"party", "item", "name", "unit", "given", "got", "they_owe", "last_day"}}
	for _, a := range r.Ledger {
		for _, t := range a.Lines {
			ledger.Rows = append(ledger.Rows, []any{
				a.Party, string(t.Item), t.Name, string(t.Unit), t.Given.Units(), t.Got.Units(), t.TheyOwe.Units(), t.LastDay.String(),
			})
		}
	}
	return []Table{needs, lost, ledger}
}

// WriteCSV writes a table as CSV (RFC 4180). Texts that a spreadsheet would
// take for a formula begin with an apostrophe.
func (t Table) WriteCSV(w io.Writer) error {
	c := csv.NewWriter(w)
	if err := c.Write(t.Head); err != nil {
		return err
	}
	for _, row := range t.Rows {
		cells := make([]string, len(row))
		for k, x := range row {
			cells[k] = fmt.Sprint(x)
			if text, ok := x.(string); ok {
				cells[k] = plain(text)
			}
		}
		if err := c.Write(cells); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// plain takes the formula out of a text.
func plain(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}
