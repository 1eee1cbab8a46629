package exchange

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/google/uuid"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

// columns are records column by column, which packs far better than row by
// row. Texts are said once and then by their number; days and numbers are
// differences to the row before.
type columns struct {
	_        struct{} `cbor:",toarray"`
	Texts    []string
	Sources  []byte // 16 bytes for each source
	IDs      []byte // 16 bytes for each row; none where all are IDOf source and number
	Source   []int
	Number   []int64 // difference to the one before of that source
	Day      []int64 // difference to the row before
	Port     []int
	Item     []int
	Found    []int
	Paid     []int64
	Currency []int
	Pack     []int64
	Shop     []int
	Reporter []int // one more than the text's number; 0: the row's id
	Kind     []int
	Quality  []int
	Origin   []int
	Note     []int
	Replacer []int  // rows that replace something
	Replaced []byte // 16 bytes for each of these
}

// maxRows of one page.
const maxRows = 4000

// pack writes records. Every id, source and replaced id must be a UUID in
// lower case, see Portable.
func (c *Codec) pack(rs []db.Record) ([]byte, error) {
	p := &packer{text: map[string]int{}, source: map[string]int{}, last: map[string]int64{}}
	p.named = slices.ContainsFunc(rs, func(r db.Record) bool { return r.ID != IDOf(r.Source, r.Number) })
	var day int64
	for i, r := range rs {
		if !Portable(r) {
			return nil, fmt.Errorf("record %q: its ids are no UUIDs", r.ID)
		}
		p.row(r)
		p.Day = append(p.Day, int64(r.Day)-day)
		day = int64(r.Day)
		if r.Replaces != "" {
			p.Replacer = append(p.Replacer, i)
			p.Replaced = append(p.Replaced, bytesOf(r.Replaces)...)
		}
	}
	return c.enc.Marshal(p.columns)
}

type packer struct {
	columns
	text, source map[string]int
	last         map[string]int64
	named        bool // ids are said
}

// IDOf is an id that need not be said: it follows from source and number.
func IDOf(source string, number int64) string {
	return uuid.NewSHA1(uuid.UUID(idOf(source)), strconv.AppendInt(nil, number, 10)).String()
}

func (p *packer) row(r db.Record) {
	s, ok := p.source[r.Source]
	if !ok {
		s = len(p.source)
		p.source[r.Source] = s
		p.Sources = append(p.Sources, bytesOf(r.Source)...)
	}
	p.Source = append(p.Source, s)
	p.Number = append(p.Number, r.Number-p.last[r.Source])
	p.last[r.Source] = r.Number
	if p.named {
		p.IDs = append(p.IDs, bytesOf(r.ID)...)
	}
	for _, t := range []struct {
		to   *[]int
		text string
	}{
		{&p.Port, string(r.Port)}, {&p.Item, string(r.Item)}, {&p.Found, string(r.Found)}, {&p.Currency, string(r.Paid.Currency)},
		{&p.Shop, r.Shop}, {&p.Kind, string(r.Report.Source)}, {&p.Origin, r.Origin}, {&p.Note, r.Note},
	} {
		*t.to = append(*t.to, p.number(t.text))
	}
	reporter := 0
	if r.Reporter != r.ID {
		reporter = 1 + p.number(r.Reporter)
	}
	p.Reporter = append(p.Reporter, reporter)
	p.Paid, p.Pack, p.Quality = append(p.Paid, r.Paid.Minor), append(p.Pack, int64(r.Pack)), append(p.Quality, r.Quality)
}

func (p *packer) number(text string) int {
	n, ok := p.text[text]
	if !ok {
		n = len(p.Texts)
		p.text[text] = n
		p.Texts = append(p.Texts, text)
	}
	return n
}

// unpack reads what pack wrote; anything else is ErrUnreadable.
func (c *Codec) unpack(b []byte) ([]db.Record, error) {
	if len(b) == 0 {
		return nil, nil
	}
	var p columns
	if err := c.dec.Unmarshal(b, &p); err != nil {
		return nil, fmt.Errorf("records %w: %w", ErrUnreadable, err)
	}
	if err := p.whole(); err != nil {
		return nil, err
	}
	out := make([]db.Record, len(p.Source))
	numbers, day := make([]int64, len(p.Sources)/16), int64(0)
	for i := range out {
		s := p.Source[i]
		numbers[s] += p.Number[i]
		day += p.Day[i]
		if day < int64(calendar.Day(-1<<31)) || day > int64(calendar.Day(1<<31-1)) {
			return nil, fmt.Errorf("records %w: row %d has no day", ErrUnreadable, i)
		}
		out[i] = p.record(i, calendar.Day(day), numbers[s])
	}
	for i, row := range p.Replacer {
		out[row].Replaces = idAt(p.Replaced, i)
	}
	return out, nil
}

func (p *columns) record(i int, day calendar.Day, number int64) db.Record {
	source := idAt(p.Sources, p.Source[i])
	id := p.id(i, source, number)
	reporter := id // what is told to everybody bears its own id
	if n := p.Reporter[i]; n > 0 {
		reporter = p.Texts[n-1]
	}
	return db.Record{
		Source: source, Number: number,
		Report: pricing.Report{
			ID: id, Port: pricing.PortID(p.Texts[p.Port[i]]), Item: pricing.ItemID(p.Texts[p.Item[i]]), Day: day,
			Found: pricing.Found(p.Texts[p.Found[i]]), Paid: money.Amount{Minor: p.Paid[i], Currency: money.Currency(p.Texts[p.Currency[i]])},
			Pack: measure.Quantity(p.Pack[i]), Shop: p.Texts[p.Shop[i]], Reporter: reporter,
			Source: pricing.Source(p.Texts[p.Kind[i]]), Quality: p.Quality[i], Origin: p.Texts[p.Origin[i]], Note: p.Texts[p.Note[i]],
		},
	}
}

func (p *columns) id(i int, source string, number int64) string {
	if len(p.IDs) == 0 {
		return IDOf(source, number)
	}
	return idAt(p.IDs, i)
}

// whole says whether every column has every row and every number means
// something.
func (p *columns) whole() error {
	n := len(p.Source)
	if n > maxRows || len(p.IDs) != 16*n && len(p.IDs) != 0 || len(p.Sources)%16 != 0 || len(p.Replaced) != 16*len(p.Replacer) {
		return fmt.Errorf("records %w: %d rows do not fit their ids", ErrUnreadable, n)
	}
	for _, c := range [][]int64{p.Number, p.Day, p.Paid, p.Pack} {
		if len(c) != n {
			return fmt.Errorf("records %w: a column of %d rows has %d", ErrUnreadable, n, len(c))
		}
	}
	if len(p.Quality) != n || !within(p.Source, n, len(p.Sources)/16) || !within(p.Replacer, len(p.Replacer), n) || !within(p.Reporter, n, len(p.Texts)+1) {
		return fmt.Errorf("records %w: a column points nowhere", ErrUnreadable)
	}
	for _, c := range [][]int{p.Port, p.Item, p.Found, p.Currency, p.Shop, p.Kind, p.Origin, p.Note} {
		if !within(c, n, len(p.Texts)) {
			return fmt.Errorf("records %w: a column points nowhere", ErrUnreadable)
		}
	}
	return nil
}

func within(c []int, rows, size int) bool {
	return len(c) == rows && !slices.ContainsFunc(c, func(i int) bool { return i < 0 || i >= size })
}

func bytesOf(id string) []byte {
	u := uuid.MustParse(id) // Portable looked before
	return u[:]
}

func idAt(b []byte, i int) string { return uuid.UUID(b[16*i : 16*i+16]).String() }

// Portable says whether a record's ids are UUIDs as they are written, so that
// they come back as they went.
func Portable(r db.Record) bool {
	return canonical(r.ID) && canonical(r.Source) && (r.Replaces == "" || canonical(r.Replaces))
}

func canonical(id string) bool {
	u, err := uuid.Parse(id)
	return err == nil && u.String() == id
}
