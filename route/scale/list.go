// Package scale turns a list of stores that was right for so many people and
// days into the list for any other crew and number of days: whole packs, what
// is aboard subtracted, fresh things first and tins last, and when to buy what.
// It wants no price and no port.
//
// Units: amounts in the item's unit; days from departure. Numbers without a
// source are common practice; days of keeping speak of quality, not of safety.
package scale

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
)

// ErrInvalid marks a list or a target that makes no sense; the error says
// where and what was wanted.
var ErrInvalid = errors.New("invalid stores list")

// List is what was right for People on Days. Zero people or days have not been
// said yet.
type List struct {
	People float64 `json:"people"`
	Days   float64 `json:"days"`
	Lines  []Line  `json:"lines"`
	Own    bool    `json:"own"` // the skipper's, not the catalogue's starting list
}

// Line is an amount of an item, in its unit.
type Line struct {
	Item   pricing.ItemID   `json:"item"`
	Amount measure.Quantity `json:"amount"`
}

// most is the largest number of people, or of days, that is no slip of the pen.
const most = 1000

// Parse reads a CSV of item and amount, with or without these words on top:
//
//	people,6
//	days,12
//	item,amount
//	rice_white,5 kg
//	Tinned tomatoes,12 x 400 g
//	tin_tuna_oil,10 tins
//
// An item may go by its id or its name; lines of one item add up; an empty line
// and one beginning with # are passed over; ; may stand for the comma.
// The error, an ErrInvalid, names every bad line with its column.
func Parse(r io.Reader, c *item.Catalogue) (List, error) {
	in, comma := separator(r)
	cr := csv.NewReader(in)
	cr.Comma, cr.Comment, cr.FieldsPerRecord, cr.TrimLeadingSpace = comma, '#', -1, true
	p := parser{csv: cr, catalogue: c, list: List{Own: true}, at: map[pricing.ItemID]int{}}
	for {
		record, err := cr.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			p.errs = append(p.errs, err)
			break
		}
		p.record(record)
	}
	if len(p.errs) == 0 && len(p.list.Lines) == 0 {
		p.errs = append(p.errs, errors.New("no items: want lines of item,amount"))
	}
	if len(p.errs) > 0 {
		return List{}, fmt.Errorf("read stores list: %w: %w", ErrInvalid, errors.Join(p.errs...))
	}
	return p.list, nil
}

// separator looks at the first line; a byte order mark is passed over.
func separator(r io.Reader) (io.Reader, rune) {
	in := bufio.NewReader(r)
	if b, err := in.Peek(3); err == nil && string(b) == "\ufeff" {
		_, _ = in.Discard(3) // just peeked at
	}
	head, _ := in.Peek(256) // shorter input is fine
	first, _, _ := strings.Cut(string(head), "\n")
	if strings.Contains(first, ";") && !strings.Contains(first, ",") {
		return in, ';'
	}
	return in, ','
}

type parser struct {
	csv       *csv.Reader
	catalogue *item.Catalogue
	list      List
	at        map[pricing.ItemID]int
	errs      []error
}

func (p *parser) fail(field int, format string, args ...any) {
	line, column := p.csv.FieldPos(field)
	p.errs = append(p.errs, fmt.Errorf("line %d, column %d: %w", line, column, fmt.Errorf(format, args...)))
}

func (p *parser) record(cells []string) {
	for k := range cells {
		cells[k] = strings.TrimSpace(cells[k])
	}
	if strings.Join(cells, "") == "" {
		return
	}
	for len(cells) > 2 && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	if len(cells) != 2 {
		p.fail(0, "want two columns, item and amount, got %d", len(cells))
		return
	}
	switch strings.ToLower(cells[0]) {
	case "item":
		if !strings.EqualFold(cells[1], "amount") {
			p.fail(1, "%q: want the column amount", cells[1])
		}
	case "people":
		p.list.People = p.count(cells[1])
	case "days":
		p.list.Days = p.count(cells[1])
	default:
		p.line(cells[0], cells[1])
	}
}

func (p *parser) count(text string) float64 {
	n, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", "."), 64)
	if err != nil || !(n > 0) || n > most {
		p.fail(1, "%q: want a number above 0 and up to %d", text, most)
		return 0
	}
	return n
}

func (p *parser) line(name, amount string) {
	it, ok := p.find(name)
	if !ok {
		return
	}
	q, err := Amount(amount, it)
	if err != nil {
		p.fail(1, "%s: %w", it.ID, err)
		return
	}
	if k, seen := p.at[it.ID]; seen {
		p.list.Lines[k].Amount += q
		return
	}
	p.at[it.ID] = len(p.list.Lines)
	p.list.Lines = append(p.list.Lines, Line{it.ID, q})
}

func (p *parser) find(name string) (item.Item, bool) {
	if it, ok := p.catalogue.Named(name); ok {
		return it, true
	}
	var near []string
	for _, it := range p.catalogue.Search(name, 4) {
		near = append(near, fmt.Sprintf("%s (%s)", it.ID, it.Name))
	}
	hint := "nothing like it is in the catalogue"
	if len(near) > 0 {
		hint = "nearest are " + strings.Join(near, ", ")
	}
	p.fail(0, "%q is no item of the catalogue; %s", name, hint)
	return item.Item{}, false
}

// packWords are what people call one usual pack.
var packWords = []string{
	"tin", "can", "pack", "packet", "jar", "bottle", "carton", "bag", "box", "loaf", "loave", "tub", "tube", "bar", "net",
	"head", "bunch", "bunche", "punnet", "tray", "cylinder", "boxe",
}

// Amount reads an amount of an item: "3 kg", "12 x 330 ml", "two dozen" as
// pieces, or a number of its usual packs, "10 tins". The error says what was
// wanted.
func Amount(text string, it item.Item) (measure.Quantity, error) {
	number, word, two := strings.Cut(strings.TrimSpace(text), " ")
	word = strings.TrimSuffix(strings.ToLower(strings.TrimSpace(word)), "s")
	n, err := strconv.ParseFloat(number, 64)
	pack := two && err == nil && slices.Contains(packWords, word) && it.ListPack > 0
	if !pack {
		return measure.ParsePack(text, it.Unit)
	}
	if q := n * float64(it.ListPack); q >= 1 && q < 1e15 && !math.IsNaN(q) {
		return measure.Quantity(math.Round(q)), nil
	}
	return 0, fmt.Errorf("%q: want a number of packs above 0", text)
}
