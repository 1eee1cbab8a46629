package dataset

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
)

// Create opens a file of a dataset for writing.
type Create func(name string) (io.WriteCloser, error)

// Write writes the four files, each to what create gives for its name. What
// Read gave, Read gives again.
func Write(d Dataset, create Create) error {
	if err := writeFile(create, "reports.csv", func(w io.Writer) error { return csv.NewWriter(w).WriteAll(ReportRows(d.Reports)) }); err != nil {
		return err
	}
	return WritePlaces(d, create)
}

// WritePlaces writes all but the reports.
func WritePlaces(d Dataset, create Create) error {
	for _, f := range []struct {
		name string
		rows [][]string
	}{{"ports.csv", portRows(d)}, {"items.csv", itemRows(d)}, {"rates.csv", rateRows(d)}} {
		if err := writeFile(create, f.name, func(w io.Writer) error { return csv.NewWriter(w).WriteAll(f.rows) }); err != nil {
			return err
		}
	}
	return nil
}

func writeFile(create Create, name string, write func(io.Writer) error) error {
	w, err := create(name)
	if err != nil {
		return fmt.Errorf("write the dataset: %w", err)
	}
	err = write(w)
	if closed := w.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return fmt.Errorf("write the dataset: %s: %w", name, err)
	}
	return nil
}

// ReportWriter writes reports.csv one by one.
type ReportWriter struct{ c *csv.Writer }

// NewReportWriter begins with the header.
func NewReportWriter(w io.Writer) ReportWriter {
	c := csv.NewWriter(w)
	write(c, reportColumns...)
	return ReportWriter{c}
}

// Write writes a report; its error is told by Flush.
func (w ReportWriter) Write(r pricing.Report) { write(w.c, reportRow(r)...) }

// Flush ends the file, and tells of any error there was.
func (w ReportWriter) Flush() error { return flushed(w.c, "reports") }

func portRows(d Dataset) [][]string {
	rows := [][]string{portColumns}
	for _, p := range d.Ports {
		lat, lon := "", ""
		if p.Placed {
			lat, lon = exact(p.Latitude), exact(p.Longitude)
		}
		rows = append(rows, []string{string(p.ID), p.Name, p.Country, lat, lon})
	}
	return rows
}

func itemRows(d Dataset) [][]string {
	rows := [][]string{itemColumns}
	for _, i := range d.Items {
		rows = append(rows, []string{string(i.ID), i.Name, i.Category, string(i.Unit), units(i.ListPack)})
	}
	return rows
}

func rateRows(d Dataset) [][]string {
	rows := [][]string{{"currency", "day", "per_reference", "reference"}}
	for _, r := range d.Rates.All() {
		mark := ""
		if r.Currency == d.Rates.Reference() {
			mark = "yes"
		}
		rows = append(rows, []string{string(r.Currency), r.Day.String(), exact(r.PerReference), mark})
	}
	return rows
}

// ReportRows gives reports.csv, header first.
func ReportRows(reports []pricing.Report) [][]string {
	rows := make([][]string, 0, len(reports)+1)
	rows = append(rows, reportColumns)
	for _, r := range reports {
		rows = append(rows, reportRow(r))
	}
	return rows
}

func reportRow(r pricing.Report) []string {
	amount, currency, pack, quality := "", "", "", ""
	if r.Found == pricing.FoundYes {
		amount, currency, pack = r.Paid.Decimal(), string(r.Paid.Currency), units(r.Pack)
	}
	if r.Quality != 0 {
		quality = strconv.Itoa(r.Quality)
	}
	return []string{
		r.ID, string(r.Port), string(r.Item), r.Day.String(), string(r.Found), amount, currency, pack,
		r.Shop, r.Reporter, string(r.Source), quality, r.Origin, r.Note, r.Replaces,
	}
}

// units is a quantity in units as a plain decimal number, exact: that of
// pieces is written without a unit.
func units(q measure.Quantity) string { return q.Format(measure.Each) }

func exact(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// short is a plain decimal number with six figures.
func short(x float64) string {
	if x == 0 {
		return "0"
	}
	decimals := 5 - int(math.Floor(math.Log10(math.Abs(x))))
	return strconv.FormatFloat(x, 'f', max(0, decimals), 64)
}

// Pair asks for an estimate.
type Pair struct {
	Port pricing.PortID
	Item pricing.ItemID
	Day  calendar.Day
}

// WriteEstimates writes estimates.csv for pairs and what is believed of each.
func WriteEstimates(w io.Writer, pairs []Pair, estimates []pricing.Estimate) error {
	c := csv.NewWriter(w)
	write(c, "port", "item", "day", "price", "low80", "high80", "available", "evidence", "newest", "basis")
	for k, e := range estimates {
		p := pairs[k]
		write(c, string(p.Port), string(p.Item), p.Day.String(), short(e.Price), short(e.Low80), short(e.High80),
			short(e.Available), short(e.Evidence), e.Newest.String(), string(basis(e.Basis)))
	}
	return flushed(c, "estimates")
}

// basis leaves out what the contract does not know: a guess rests on no
// report, the least that all reports can be.
func basis(b pricing.Basis) pricing.Basis {
	if b == pricing.BasisGuess {
		return pricing.BasisAll
	}
	return b
}

// write leaves an error with c, which keeps it until it is flushed.
func write(c *csv.Writer, fields ...string) { _ = c.Write(fields) }

func flushed(c *csv.Writer, what string) error {
	c.Flush()
	if err := c.Error(); err != nil {
		return fmt.Errorf("write %s: %w", what, err)
	}
	return nil
}

// WriteRejected writes the rows that were not taken.
func WriteRejected(w io.Writer, rejected []Rejection) error {
	c := csv.NewWriter(w)
	write(c, "file", "line", "column", "found", "expected")
	for _, r := range rejected {
		write(c, r.File, strconv.Itoa(r.Line), r.Column, r.Found, r.Expected)
	}
	return flushed(c, "rejected rows")
}
