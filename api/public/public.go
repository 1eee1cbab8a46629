// Package public decides what of the boats' reports is told to everybody, when,
// and in which form, so that nobody can put together where a boat was. It is
// rules only: no database, no clock.
//
// Told of a report are port, month, item, and what was found: the price of a
// usual pack in the port's own currency, about. Not told are the day, the
// reporter, shop, source, quality, origin and note, the pack, the currency paid
// in, the last digit, nor its id; each of these tells boats apart. All that came
// in of a port in a month is told at once when the month is over, if it is from
// enough different accounts (k-anonymity; L. Sweeney, Int. J. Uncertainty, Fuzziness
// and Knowledge-Based Systems 10 (2002) 557, from memory): a batch of fewer, or
// one that comes later, would be somebody's. The others wait until they are
// old, and then only their year is told.
package public

import (
	"cmp"
	"slices"
	"time"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// Rule is when reports are told.
type Rule struct {
	Delay  int // days after the end of the month, and after it came in
	Enough int // different accounts in a port's month
	Age    int // days after the end of its year when a report is told whatever the others
}

// Usual is the rule unless the server's is another. Judgement of ours: a boat
// is gone after a week, and three boats are a few to choose from.
var Usual = Rule{Delay: 7, Enough: 3, Age: 365}

// Waiting is a report that was not told yet.
type Waiting struct {
	pricing.Report
	Account  string       // whose it is: its account, or its reporter where none is known
	Received calendar.Day // when it came in
}

// Told is a report to be told, in the form it is told in but for its new id.
type Told struct {
	Report  string // which one it is
	Day     calendar.Day
	Instead []string // earlier ones of the same account on the same, never to be told: it is heard once
}

// Due are those of the reports whose turn has come, in no order that says
// anything (by report id). Of several by one account on one item in one port
// and month only the last is told, so that nobody is heard twice.
func (r Rule) Due(waiting []Waiting, today calendar.Day) []Told {
	pools, years := map[pool][]Waiting{}, map[pool][]Waiting{}
	last, instead := latest(waiting)
	for _, w := range last {
		p := poolOf(w)
		switch {
		case w.Received-w.Day > halfYear:
			r.grown(years, pool{w.Port, w.Day.Month()}, []Waiting{w}, today)
		case p.end()+calendar.Day(r.Delay) <= today:
			pools[p] = append(pools[p], w)
		}
	}
	var out []Told
	for p, ws := range pools {
		if accounts(ws) >= r.Enough {
			out = appendTold(out, ws, p.month)
			continue
		}
		r.grown(years, p, ws, today)
	}
	for p, ws := range years {
		out = appendTold(out, ws, p.month)
	}
	slices.SortFunc(out, func(a, b Told) int { return cmp.Compare(a.Report, b.Report) })
	for i := range out {
		out[i].Instead = instead[out[i].Report]
	}
	return out
}

// Next is the first day on which one of these reports, all of one port and
// month, is due if none comes or goes; 0 when there are none. On days before
// it Due gives none of them.
func (r Rule) Next(waiting []Waiting) (next calendar.Day) {
	sooner := func(d calendar.Day) {
		if next == 0 || d < next {
			next = d
		}
	}
	var prompt []Waiting
	last, _ := latest(waiting)
	for _, w := range last {
		if w.Received-w.Day > halfYear {
			sooner(r.old(w.Day))
		} else {
			prompt = append(prompt, w)
		}
	}
	if len(prompt) == 0 {
		return next
	}
	p := poolOf(prompt[0])
	over := p.end() + calendar.Day(r.Delay)
	if accounts(prompt) < r.Enough {
		over = max(over, r.old(p.month))
	}
	sooner(over)
	return next
}

// grown puts reports that are old enough among those of their year.
func (r Rule) grown(years map[pool][]Waiting, p pool, ws []Waiting, today calendar.Day) {
	if y := firstOfYear(p.month); today >= r.old(y) {
		years[pool{p.port, y}] = append(years[pool{p.port, y}], ws...)
	}
}

// old is the day from which on a report of a day is told whatever the others.
func (r Rule) old(d calendar.Day) calendar.Day {
	return firstOfYear(firstOfYear(d)+366) + calendar.Day(r.Age) + 1
}

// end is the last day of a month's pool.
func (p pool) end() calendar.Day { return (p.month + 31).Month() - 1 }

// pool is the reports of a port in a month, or in a year by its first month.
type pool struct {
	port  pricing.PortID
	month calendar.Day // its first day
}

// poolOf is the month a report came in: boats that are seldom in touch are told
// among the others of that month.
func poolOf(w Waiting) pool { return pool{w.Port, max(w.Day, w.Received).Month()} }

// halfYear is half a year: a price that comes later than that says too little of
// the month it comes in.
const halfYear = 183

func firstOfYear(d calendar.Day) calendar.Day {
	return calendar.Of(time.Date(d.Time().Year(), 1, 1, 0, 0, 0, 0, time.UTC))
}

func appendTold(out []Told, ws []Waiting, day calendar.Day) []Told {
	for _, w := range ws {
		out = append(out, Told{Report: w.ID, Day: day})
	}
	return out
}

func accounts(ws []Waiting) int {
	seen := map[string]bool{}
	for _, w := range ws {
		seen[w.Account] = true
	}
	return len(seen)
}

// latest leaves of every account's reports on an item in a port's month the
// last one, by day, then by id; instead are the ids of the others, by that of
// the one that is left.
func latest(ws []Waiting) (last []Waiting, instead map[string][]string) {
	type cell struct {
		pool
		item    pricing.ItemID
		account string
	}
	cells := map[cell][]Waiting{}
	for _, w := range ws {
		c := cell{poolOf(w), w.Item, w.Account}
		cells[c] = append(cells[c], w)
	}
	instead = map[string][]string{}
	for _, all := range cells {
		slices.SortFunc(all, func(a, b Waiting) int { return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.ID, b.ID)) })
		n := len(all) - 1
		last = append(last, all[n])
		for _, w := range all[:n] {
			instead[all[n].ID] = append(instead[all[n].ID], w.ID)
		}
	}
	return last, instead
}

// Form is how a report is told, under an id drawn for it. Paid and Pack are
// those told, see Blur.
func Form(r pricing.Report, id string, day calendar.Day, replaces string) pricing.Report {
	return pricing.Report{
		ID: id, Port: r.Port, Item: r.Item, Day: day, Found: r.Found, Paid: r.Paid, Pack: r.Pack,
		Reporter: id, Source: pricing.Shelf, Replaces: replaces,
	}
}
