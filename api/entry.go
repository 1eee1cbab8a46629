package api

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/google/uuid"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/pricing/sheet"
	"hardtack/pricing/wording"
)

// Entry is a report as people write it: amounts as decimals, packs as on the
// label. Entered again, with the same id, it changes nothing.
type Entry struct {
	ID       string         `json:"id,omitempty"` // UUID; empty: made here
	Port     string         `json:"port"`
	Item     string         `json:"item"`
	Day      calendar.Day   `json:"day"`
	Found    pricing.Found  `json:"found"`              // yes, none, cheap, fair, dear; empty withdraws Replaces
	Amount   string         `json:"amount,omitempty"`   // paid for the pack: "4.49"; with yes only
	Currency string         `json:"currency,omitempty"` // ISO 4217; with yes only
	Pack     string         `json:"pack,omitempty"`     // "500 g", "12 x 330 ml", "dozen"; with yes only
	Shop     string         `json:"shop,omitempty"`
	Reporter string         `json:"reporter"`
	Source   pricing.Source `json:"source,omitempty"`  // receipt, shelf, memory
	Quality  int            `json:"quality,omitempty"` // 1–5 as the goods looked
	Origin   string         `json:"origin,omitempty"`  // ISO 3166-1 alpha-2, of the goods
	Note     string         `json:"note,omitempty"`
	Replaces string         `json:"replaces,omitempty"` // id of an earlier report of the same reporter
}

// EntryOf writes a report as an entry that would give the same report.
func (s *Service) EntryOf(r pricing.Report) Entry {
	e := Entry{
		ID: r.ID, Port: string(r.Port), Item: string(r.Item), Day: r.Day, Found: r.Found, Shop: r.Shop,
		Reporter: r.Reporter, Source: r.Source, Quality: r.Quality, Origin: r.Origin, Note: r.Note, Replaces: r.Replaces,
	}
	if r.Found == pricing.FoundYes {
		e.Amount, e.Currency = r.Paid.Decimal(), string(r.Paid.Currency)
		e.Pack = r.Pack.Format(s.world.Catalogue.Items[r.Item].Unit)
	}
	return e
}

// Longest texts that are taken, in characters.
const (
	maxName = 200
	maxNote = 2000
)

// reader turns entries into reports and notes what is wrong with them.
type reader struct {
	*place
	catalogue *item.Catalogue
	today     calendar.Day
	newID     func() string
	faults    faults
	searched  int
}

// maxSearches is for how many unknown names one reading looks for the nearest:
// a search takes a millisecond, and a bad file has many.
const maxSearches = 50

func (rd *reader) portsLike(id string) []string {
	if rd.searched++; rd.searched > maxSearches {
		return nil
	}
	return rd.place.portsLike(id)
}

func (rd *reader) itemsLike(id string) []string {
	if rd.searched++; rd.searched > maxSearches {
		return nil
	}
	return itemsLike(rd.catalogue, id)
}

// report reads one entry; prefix is put before the paths of its faults.
func (rd *reader) report(prefix string, e Entry) pricing.Report {
	r := pricing.Report{
		ID: rd.id(prefix+"id", e.ID), Day: e.Day, Found: e.Found, Shop: e.Shop, Reporter: e.Reporter,
		Source: e.Source, Quality: e.Quality, Origin: e.Origin, Note: e.Note, Replaces: strings.ToLower(e.Replaces),
	}
	r.Port = rd.port(prefix+"port", e.Port)
	it := rd.item(prefix+"item", e.Item)
	r.Item = it.ID
	rd.day(prefix+"day", e.Day)
	rd.found(prefix, e)
	if e.Found == pricing.FoundYes {
		r.Paid = rd.paid(prefix, e)
		r.Pack = rd.pack(prefix+"pack", e.Pack, it)
	}
	rd.words(prefix, e)
	return r
}

func (rd *reader) id(path, id string) string {
	if id == "" {
		return rd.newID()
	}
	u, err := uuid.Parse(id)
	if err != nil || len(id) != 36 {
		rd.faults.add(path, quote(id), "a UUID such as 7f1d2a54-0c9b-4c1e-9d57-5a2f3b6c8e10")
		return id
	}
	return u.String()
}

func (rd *reader) port(path, id string) pricing.PortID {
	p, ok := rd.gazetteer.Port(pricing.PortID(id))
	if !ok {
		rd.faults.add(path, quote(id), "the id of a port", rd.portsLike(id)...)
	}
	return p.ID
}

func (rd *reader) item(path, id string) item.Item {
	it, ok := rd.catalogue.Items[pricing.ItemID(id)]
	if !ok {
		rd.faults.add(path, quote(id), "the id of an item", rd.itemsLike(id)...)
	}
	return it
}

// day refuses the future. Clocks of the east are up to 14 hours ahead of UTC,
// so the day after today is not yet the future.
func (rd *reader) day(path string, d calendar.Day) {
	switch {
	case d.IsZero():
		rd.faults.add(path, "nothing", "a day, YYYY-MM-DD")
	case d > rd.today+1:
		rd.faults.say(path, wording.Say("fault.day_come", wording.Day(d), wording.Day(rd.today)))
	case d < firstDay:
		rd.faults.say(path, wording.Say("fault.day_after", wording.Day(d), wording.Day(firstDay)))
	}
}

// firstDay is 1990-01-01: what was paid before that helps nobody.
const firstDay calendar.Day = 7305

var foundWords = []pricing.Found{pricing.FoundYes, pricing.FoundNone, pricing.Cheap, pricing.Fair, pricing.Dear}

func (rd *reader) found(prefix string, e Entry) {
	switch {
	case e.Found == pricing.Withdrawn && e.Replaces == "":
		rd.faults.add(prefix+"found", "nothing", "yes, none, cheap, fair or dear; nothing only to withdraw the report named in replaces")
	case e.Found != pricing.Withdrawn && !slices.Contains(foundWords, e.Found):
		rd.faults.add(prefix+"found", quote(string(e.Found)), "yes, none, cheap, fair or dear")
	}
	if e.Found == pricing.FoundYes {
		return
	}
	for _, f := range []struct{ name, value string }{{"amount", e.Amount}, {"currency", e.Currency}, {"pack", e.Pack}} {
		if f.value != "" {
			rd.faults.add(prefix+f.name, quote(f.value), "nothing unless found is yes")
		}
	}
}

func (rd *reader) paid(prefix string, e Entry) money.Amount {
	c := money.Currency(e.Currency)
	if err := money.CheckCurrency(c); err != nil {
		rd.faults.add(prefix+"currency", quote(e.Currency), "an ISO 4217 code such as EUR")
		return money.Amount{}
	}
	if _, _, err := rd.rates.Per(c, e.Day); err != nil {
		rd.faults.add(prefix+"currency", quote(e.Currency), "a currency with a rate of exchange; add one or report in another")
	}
	a, err := money.Parse(e.Amount, c)
	switch {
	case err != nil:
		rd.faults.say(prefix+"amount", wording.Say("fault.price", wording.Text(quote(e.Amount)), wording.Text(string(c)), wording.Text(money.Amount{Minor: 1250, Currency: c}.Decimal())))
	case a.Minor <= 0:
		rd.faults.add(prefix+"amount", quote(e.Amount), "more than 0")
	case a.Minor > maxMinor:
		rd.faults.add(prefix+"amount", quote(e.Amount), "the price of one pack, less than that")
	}
	return a
}

// maxMinor is a hundred million of the largest unit: a slip.
const maxMinor = 10_000_000_000

func (rd *reader) pack(path, text string, it item.Item) measure.Quantity {
	if it.ID == "" {
		return 0 // the unit is not known; the item is the fault
	}
	q, err := measure.ParsePack(text, it.Unit)
	if err != nil {
		rd.faults.say(path, wording.Say("fault.pack", wording.Text(quote(text)), wording.Item(string(it.ID), it.Name), wording.Want("an amount in "+measure.Wants(it.Unit))))
		return 0
	}
	if q <= 0 || q.Units() > maxPack {
		rd.faults.say(path, wording.Say("fault.most", wording.Text(quote(text)), wording.Amount(maxPack, it.Unit)))
	}
	return q
}

// maxPack is more of anything than is sold in one pack, in the item's units.
const maxPack = 10_000

func (rd *reader) words(prefix string, e Entry) {
	if e.Reporter == "" {
		rd.faults.add(prefix+"reporter", "nothing", "who reports: any id that tells nothing about the person")
	}
	if e.Found != pricing.Withdrawn && !slices.Contains([]pricing.Source{pricing.Receipt, pricing.Shelf, pricing.Memory}, e.Source) {
		rd.faults.add(prefix+"source", quote(string(e.Source)), "receipt, shelf or memory")
	}
	if e.Quality < 0 || e.Quality > 5 {
		rd.faults.add(prefix+"quality", fmt.Sprint(e.Quality), "1 (poor) to 5 (excellent), or nothing")
	}
	if e.Origin != "" && !sheet.Country(e.Origin) {
		rd.faults.add(prefix+"origin", quote(e.Origin), "an ISO 3166-1 code of two capitals, or nothing")
	}
	rd.text(prefix+"shop", e.Shop, maxName)
	rd.text(prefix+"reporter", e.Reporter, maxName)
	rd.text(prefix+"note", e.Note, maxNote)
}

func (rd *reader) text(path, s string, most int) {
	if want := wantText(s, most); want != "" {
		rd.faults.add(path, quote(s), want)
	}
}

// wantText says what is wanted of a text that cannot be taken; nothing when it
// can.
func wantText(s string, most int) string {
	switch {
	case !utf8.ValidString(s):
		return "UTF-8"
	case utf8.RuneCountInString(s) > most:
		return fmt.Sprintf("at most %d characters", most)
	case strings.ContainsFunc(s, func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' && r != '\r' }):
		return "a text without control characters"
	}
	return ""
}

// shorten keeps a message readable when the text is a novel.
func shorten(s string) string {
	if r := []rune(s); len(r) > 80 {
		return string(r[:79]) + "…"
	}
	return s
}
