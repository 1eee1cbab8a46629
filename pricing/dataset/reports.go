package dataset

import (
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/google/uuid"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/fx"
	"hardtack/pricing/money"
	"hardtack/pricing/sheet"
)

var reportColumns = []string{
	"report", "port", "item", "day", "found", "amount", "currency", "pack", "shop", "reporter", "source", "quality",
	"origin", "note", "replaces",
}

const (
	colReport = iota
	colPort
	colItem
	colDay
	colFound
	colAmount
	colCurrency
	colPack
	colShop
	colReporter
	colSource
	colQuality
	colOrigin
	colNote
	colReplaces
)

// Context is what the reports of a file are read against.
type Context struct {
	File  string // its name, for rejections
	Port  func(pricing.PortID) bool
	Item  func(pricing.ItemID) bool
	Rates fx.Rates
	// Last is the last day a report may bear; zero allows any.
	Last calendar.Day
	// Known gives reports kept already, which those of the file may replace;
	// nil when there are none.
	Known func(id string) (pricing.Report, bool)
	// Nearest adds to a rejection what an unknown port or item might have
	// been, given the column and the text; nil adds nothing.
	Nearest func(column, text string) []string
}

// Parsed is what a file of reports held.
type Parsed struct {
	Reports  []pricing.Report
	Lines    []int // of each report, where it was first
	Rejected []Rejection
}

// ParseReports reads the columns of reports.csv. Rows that are at fault, that
// contradict each other, or that replace what they may not, are rejected; the
// others come in the order of the file. Errors: ErrRefused or of r.
func ParseReports(r io.Reader, ctx Context) (Parsed, error) {
	p, err := NewReportReader(r, ctx)
	if err != nil {
		return Parsed{}, err
	}
	out, _, err := p.Next(math.MaxInt)
	return out, err
}

// ReportReader reads reports.csv in portions.
type ReportReader struct{ parser }

// NewReportReader reads the header. Errors: ErrRefused or of r.
func NewReportReader(r io.Reader, ctx Context) (*ReportReader, error) {
	s, err := sheet.NewReader(r, ctx.File, reportColumns)
	return &ReportReader{parser{s, ctx, map[string]string{}}}, err
}

// Next reads up to so many rows more, as ParseReports; a row is held against
// those of its portion and those Context.Known knows. It says whether there may
// be more.
func (p *ReportReader) Next(most int) (out Parsed, more bool, err error) {
	rows := sheet.NewUnique[string, pricing.Report](p.Reader, colReport)
	n := 0
	for ; n < most && p.Reader.Next(); n++ {
		rows.Add(p.report())
	}
	if p.Err() != nil {
		return Parsed{}, false, p.Err()
	}
	out.Reports, out.Lines = rows.Standing("one content for an id")
	p.dropBadReplacements(&out)
	out.Rejected = p.TakeRejected()
	return out, n == most, nil
}

type parser struct {
	*sheet.Reader
	ctx  Context
	seen map[string]string // the same text is kept once
}

func (p parser) once(text string) string {
	if t, ok := p.seen[text]; ok {
		return t
	}
	t := strings.Clone(text)
	p.seen[t] = t
	return t
}

// report reads the row the reader is at, and gives its id too.
func (p parser) report() (string, pricing.Report) {
	r := pricing.Report{
		ID: p.id(colReport), Port: p.port(), Item: p.item(), Day: p.day(), Found: pricing.Found(p.once(p.Text(colFound))),
		Shop: p.once(p.Text(colShop)), Source: pricing.Source(p.once(p.Text(colSource))),
		Origin: p.once(p.Text(colOrigin)), Note: strings.Clone(p.Text(colNote)),
	}
	p.found(r.Found)
	if r.Found == pricing.FoundYes {
		r.Paid = p.paid(r.Day)
		r.Pack = quantity(p.Reader, colPack, "the units in the pack, a decimal number above 0")
	} else {
		p.empty(colAmount, colCurrency, colPack)
	}
	r.Reporter = p.once(p.Required(colReporter, "the id of who reports"))
	p.rest(&r)
	return r.ID, r
}

func (p parser) id(column int) string {
	text := p.Text(column)
	u, err := uuid.Parse(text)
	if err != nil || len(text) != 36 {
		p.Reject(column, "a UUID such as 7f1d2a54-0c9b-4c1e-9d57-5a2f3b6c8e10")
		return ""
	}
	return u.String()
}

func (p parser) port() pricing.PortID {
	id := pricing.PortID(p.once(p.Text(colPort)))
	if !p.ctx.Port(id) {
		p.Reject(colPort, "the id of a port that is known"+p.nearest(colPort))
	}
	return id
}

func (p parser) item() pricing.ItemID {
	id := pricing.ItemID(p.once(p.Text(colItem)))
	if !p.ctx.Item(id) {
		p.Reject(colItem, "the id of an item that is known"+p.nearest(colItem))
	}
	return id
}

func (p parser) nearest(column int) string {
	if p.ctx.Nearest == nil {
		return ""
	}
	names := p.ctx.Nearest(reportColumns[column], p.Text(column))
	if len(names) == 0 {
		return ""
	}
	return "; nearest: " + strings.Join(names, ", ")
}

func (p parser) day() calendar.Day {
	d := p.Day(colDay)
	if p.ctx.Last != 0 && d > p.ctx.Last {
		p.Reject(colDay, "a day that has come, "+p.ctx.Last.String()+" at the latest")
	}
	return d
}

func (p parser) found(f pricing.Found) {
	switch f {
	case pricing.FoundYes, pricing.FoundNone, pricing.Cheap, pricing.Fair, pricing.Dear:
	case pricing.Withdrawn:
		if p.Text(colReplaces) == "" {
			p.Reject(colFound, "yes, none, cheap, fair or dear; empty only to withdraw the report named in replaces")
		}
	default:
		p.Reject(colFound, "yes, none, cheap, fair or dear")
	}
}

func (p parser) empty(columns ...int) {
	for _, c := range columns {
		if p.Text(c) != "" {
			p.Reject(c, "nothing unless found is yes")
		}
	}
}

// paid rounds to the minor unit of the currency: what is worked out from
// several packs may have more decimals than coins.
func (p parser) paid(day calendar.Day) money.Amount {
	c := money.Currency(p.once(p.Text(colCurrency)))
	if money.CheckCurrency(c) != nil {
		p.Reject(colCurrency, "an ISO 4217 code such as EUR")
		return money.Amount{}
	}
	a, err := money.ParseRounded(p.Text(colAmount), c)
	if err != nil || a.Minor <= 0 {
		p.Reject(colAmount, "a decimal number above 0, as "+string(c)+" is paid")
	}
	if _, _, err := p.ctx.Rates.Per(c, day); err != nil {
		p.Reject(colCurrency, "a currency with a rate of exchange")
	}
	return a
}

func (p parser) rest(r *pricing.Report) {
	switch r.Source {
	case pricing.Receipt, pricing.Shelf, pricing.Memory:
	case "":
		if r.Found != pricing.Withdrawn {
			p.Reject(colSource, "receipt, shelf or memory")
		}
	default:
		p.Reject(colSource, "receipt, shelf or memory")
	}
	if text := p.Text(colQuality); text != "" {
		q, err := strconv.Atoi(text)
		if err != nil || q < 1 || q > 5 || len(text) != 1 {
			p.Reject(colQuality, "1 (poor) to 5 (excellent), or nothing")
		}
		r.Quality = q
	}
	if r.Origin != "" && !sheet.Country(r.Origin) {
		p.Reject(colOrigin, "an ISO 3166-1 code of two capitals, or nothing")
	}
	if p.Text(colReplaces) != "" {
		r.Replaces = p.id(colReplaces)
	}
}
