package api

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/route/inventory"
	"hardtack/route/inventory/usage"
	"hardtack/route/vessel"
)

// CountOptions say how a count is to be taken.
type CountOptions struct {
	Day     calendar.Day // it was taken; zero: today
	Partial bool         // only what is listed was counted; else what is not listed is gone
	Crew    string       // who used it; empty: the only crew there is, or nobody's usage is learned
}

// CountedLine is what a count says of an item.
type CountedLine struct {
	inventory.Difference
	Name  string             `json:"name"`
	Words string             `json:"words"`
	Usual inventory.Expected `json:"-"` // what it was explained with
}

// CountTaken is what a count did.
type CountTaken struct {
	Lots    []inventory.Lot `json:"lots"`
	Lines   []CountedLine   `json:"lines"`
	Learned []usage.Line    `json:"learned"` // of the needs this count tells of
}

// Count makes a filled-in count sheet (CSV) what is aboard, explains what the
// book had otherwise, and learns from it what the crew uses. All of it is one
// change. Errors: ErrInvalid naming every fault, ErrStale, ErrNotFound.
func (s *Service) Count(ctx context.Context, vesselID string, r io.Reader, o CountOptions, expect int64) (Kept[CountTaken], error) {
	b, err := s.boatOf(ctx, vesselID)
	if err != nil {
		return Kept[CountTaken]{}, err
	}
	crew, err := s.crewFor(ctx, o.Crew)
	if err != nil {
		return Kept[CountTaken]{}, err
	}
	book, revision, err := s.db.Lots(ctx, vesselID)
	if err != nil {
		return Kept[CountTaken]{}, err
	}
	rows, err := b.ReadCount(r, book)
	if errors.Is(err, inventory.ErrInvalid) {
		return Kept[CountTaken]{}, invalid("count", err)
	}
	if err != nil {
		return Kept[CountTaken]{}, fmt.Errorf("count: %w", err)
	}
	if expect == AnyRevision {
		expect = revision // the count was laid beside this book and no other
	}
	day := s.Today()
	if !o.Day.IsZero() {
		day = o.Day
	}
	if day > s.Today()+1 {
		var fs faults
		fs.add("day", day.String(), "a day that has come")
		return Kept[CountTaken]{}, fs.err("count")
	}
	c := b.Recount(book, rows, day, o.Partial, s.newID)
	if err := b.Validate(c.Lots); err != nil {
		return Kept[CountTaken]{}, invalid("count", err)
	}
	if same, err := s.sameCount(ctx, vesselID, day, c); err != nil || same {
		return Kept[CountTaken]{CountTaken{Lots: c.Lots, Lines: s.countLines(c, nil, nil)}, revision}, err
	}
	period, err := s.period(ctx, vesselID, day, crew, book, c)
	if err != nil {
		return Kept[CountTaken]{}, err
	}
	return s.keepCount(ctx, vesselID, period, c, expect)
}

// sameCount says whether the last count kept says the same of the same day:
// sent twice it changes nothing.
func (s *Service) sameCount(ctx context.Context, vesselID string, day calendar.Day, c inventory.Recounted) (bool, error) {
	counts, err := s.db.Counts(ctx, vesselID)
	if err != nil || len(counts) == 0 || len(c.Moves) > 0 {
		return false, err
	}
	last := counts[len(counts)-1]
	if last.Day != day || len(last.Lines) != len(c.Differences) {
		return false, nil
	}
	for _, d := range c.Differences {
		if !slices.ContainsFunc(last.Lines, func(l inventory.Difference) bool {
			return l.Item == d.Item && l.Counted == d.Counted && l.Mark == d.Mark
		}) {
			return false, nil
		}
	}
	return true, nil
}

func (s *Service) keepCount(ctx context.Context, vesselID string, p usage.Period, c inventory.Recounted, expect int64) (Kept[CountTaken], error) {
	records := p.Records(s.world.Catalogue)
	before, err := s.rates(ctx, vesselID, p.Crew.ID)
	if err != nil {
		return Kept[CountTaken]{}, err
	}
	revision, err := s.db.Book(ctx, vesselID, db.Booking{
		Lots: c.Lots, Moves: c.Moves, Count: c.Differences, Usage: records, Day: p.Day,
	}, expect)
	if errors.Is(err, db.ErrInvalid) {
		err = invalid("count", err)
	}
	if err != nil {
		return Kept[CountTaken]{}, err
	}
	out := CountTaken{Lots: c.Lots, Lines: s.countLines(c, records, before)}
	after, err := s.rates(ctx, vesselID, p.Crew.ID)
	if err != nil {
		return Kept[CountTaken]{}, err
	}
	told := usage.Rates{}
	for _, r := range records {
		told[r.Need] = after[r.Need]
	}
	out.Learned = told.Lines(s.world.Catalogue, seasonOf(p.Crew, seasonDays))
	return Kept[CountTaken]{out, revision}, nil
}

// seasonDays is a round season of one person, for words.
const seasonDays = 100

// countLines explains each difference, by what the crew was known to use
// before where an item is the only one of its need.
func (s *Service) countLines(c inventory.Recounted, records []usage.Record, before usage.Rates) []CountedLine {
	var out []CountedLine
	for _, d := range c.Differences {
		it := s.world.Catalogue.Items[d.Item]
		usual := s.expected(c, d, records, before)
		out = append(out, CountedLine{d, it.Name, d.Explain(it, usual), usual})
	}
	return out
}

func (s *Service) expected(c inventory.Recounted, d inventory.Difference, records []usage.Record, before usage.Rates) inventory.Expected {
	need, ok := s.world.Catalogue.NeedOf(d.Item)
	if !ok {
		return inventory.Expected{}
	}
	for _, o := range c.Differences {
		if n, ok := s.world.Catalogue.NeedOf(o.Item); ok && n.ID == need.ID && o.Item != d.Item && o.Book+o.Counted > 0 {
			return inventory.Expected{}
		}
	}
	for _, r := range records {
		if r.Need == need.ID {
			belief, known := before[need.ID]
			if !known {
				belief = usage.Learn(usage.NeedPrior(s.world.Catalogue, need), nil)
			}
			mean, sd := belief.Forecast(r.PersonDays)
			a, _ := need.Alternate(d.Item)
			return inventory.Expected{Use: mean / a.Yield, SD: sd / a.Yield, Days: float64(r.To - r.From)}
		}
	}
	return inventory.Expected{}
}

// crewFor is the crew named, or the only one; none when there are several.
func (s *Service) crewFor(ctx context.Context, id string) (vessel.Crew, error) {
	if id != "" {
		k, err := s.Crew(ctx, id)
		return k.Value, err
	}
	all, err := s.Crews(ctx)
	if err != nil || len(all) != 1 {
		return vessel.Crew{}, err
	}
	return all[0].Value, nil
}

// period gathers what is known of the time before a count.
func (s *Service) period(ctx context.Context, vesselID string, day calendar.Day, crew vessel.Crew, book []inventory.Lot, c inventory.Recounted) (usage.Period, error) {
	p := usage.Period{Crew: crew, Day: day, Count: c.Differences}
	counts, err := s.db.Counts(ctx, vesselID)
	if err != nil {
		return p, err
	}
	last := map[pricing.ItemID]calendar.Day{}
	for _, k := range counts {
		if k.Day > day {
			continue
		}
		for _, l := range k.Lines {
			last[l.Item] = k.Day
		}
	}
	if p.Moves, err = s.db.Moves(ctx, vesselID, 0, 0); err != nil {
		return p, err
	}
	if p.Log, err = s.db.Log(ctx, vesselID, 0, 0); err != nil {
		return p, err
	}
	p.Since = usage.Baseline(s.world.Catalogue, last, p.Moves)
	told := map[pricing.ItemID]bool{}
	for _, d := range c.Differences {
		told[d.Item] = true
	}
	for _, l := range book {
		if !told[l.Item] {
			p.Left = append(p.Left, l.Item)
		}
	}
	return p, nil
}

// rates are what is believed of a crew's use.
func (s *Service) rates(ctx context.Context, vesselID, crew string) (usage.Rates, error) {
	records, err := s.db.Usage(ctx, vesselID, crew)
	if err != nil {
		return nil, err
	}
	return usage.RatesOf(s.world.Catalogue, records, s.Today()), nil
}

// Used is what a crew was found to use.
type Used struct {
	Learned  []usage.Line   `json:"learned"`
	Appetite usage.Appetite `json:"appetite"` // over all food
	Words    string         `json:"words"`    // of the appetite
}

// Usage is what a crew was found to use, in words for a season of so many
// person-days; 0 takes a hundred.
func (s *Service) Usage(ctx context.Context, vesselID, crewID string, personDays float64) (Used, error) {
	if _, err := s.Vessel(ctx, vesselID); err != nil {
		return Used{}, err
	}
	crew, err := s.crewFor(ctx, crewID)
	if err != nil {
		return Used{}, err
	}
	records, err := s.db.Usage(ctx, vesselID, crew.ID)
	if err != nil {
		return Used{}, err
	}
	if personDays <= 0 {
		personDays = seasonDays
	}
	cat := s.world.Catalogue
	out := Used{
		Learned:  usage.RatesOf(cat, records, s.Today()).Lines(cat, seasonOf(crew, personDays)),
		Appetite: usage.AppetiteOf(cat, records, s.Today()),
	}
	out.Words = out.Appetite.Words()
	return out, nil
}

// seasonOf is a season of so many person-days of a crew.
func seasonOf(crew vessel.Crew, personDays float64) usage.Season {
	return usage.Season{PersonDays: personDays, Days: personDays / max(1, float64(len(crew.Persons)))}
}
