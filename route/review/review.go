// Package review looks back on a stretch of a voyage: what was really eaten,
// spent and lost, and what to write on the next list.
//
// Units: item-units, kilograms, litres, person-days; money in the skipper's
// home currency.
package review

import (
	"cmp"
	"fmt"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/route/inventory"
	"hardtack/route/inventory/usage"
	"hardtack/route/logbook"
)

// Input is what a review is made of. It is not changed.
type Input struct {
	From, To  calendar.Day
	Catalogue *item.Catalogue
	Heads     func(from, to calendar.Day) float64 // person-days of the crew
	Moves     []inventory.Move
	Marks     map[pricing.ItemID]inventory.Mark // of the counts in the time, the last of each item
	Records   []usage.Record
	Rates     usage.Rates
	Log       []logbook.Entry
	Worth     map[string]float64                               // of lots: up to which price of an item-unit buying was worth it, home currency
	Home      func(money.Amount, calendar.Day) (float64, bool) // in the home currency of that day
}

// Review is a stretch looked back on.
type Review struct {
	From       calendar.Day `json:"from"`
	To         calendar.Day `json:"to"`
	PersonDays float64      `json:"person_days"` // guests among them
	Spent      float64      `json:"spent"`       // home currency
	PerDay     float64      `json:"spent_per_person_day"`
	Unpriced   int          `json:"unpriced"` // purchases without a price: the money is at least this
	Litres     float64      `json:"stowed_litres_per_person_day"`
	WaterL     float64      `json:"water_l_per_person_day"`
	Needs      []Need       `json:"needs"`
	Lost       []Lost       `json:"lost"`     // by cause and place, the dearest first
	Bargains   []Bargain    `json:"bargains"` // purchases that were cheap against the others of the time
	WalkAway   WalkAway     `json:"walk_away"`
	Ledger     []Account    `json:"ledger"`
	Marks      []Marked     `json:"marks"` // what ran out, was left over or hated, as the counts say
	Words      []string     `json:"words"` // next season's list
}

// Marked is what the counts said of an item in one word.
type Marked struct {
	Item pricing.ItemID `json:"item"`
	Name string         `json:"name"`
	Mark inventory.Mark `json:"mark"`
}

// Need is what was used of a need beside what the list says.
type Need struct {
	Need   string       `json:"need"`
	Name   string       `json:"name"`
	Unit   measure.Unit `json:"unit"`
	Used   float64      `json:"used"` // need-units
	Actual float64      `json:"actual"`
	List   float64      `json:"list"`
	RanOut bool         `json:"ran_out,omitempty"`
}

// Lost is what was thrown away for one cause at one place.
type Lost struct {
	Cause inventory.Cause `json:"cause"`
	Place string          `json:"place"`
	Kg    float64         `json:"kg"`
	Worth float64         `json:"worth"` // as paid, else guessed
	Items []string        `json:"items"`

	Goods []pricing.ItemID `json:"-"` // the same by id
}

// Of makes the review. The same input gives the same review.
func Of(in Input) Review {
	r := Review{From: in.From, To: in.To, PersonDays: in.Heads(in.From, in.To) + logbook.Sum(in.Log, in.From, in.To, logbook.Guests)}
	in.Moves = slices.DeleteFunc(slices.Clone(in.Moves), func(m inventory.Move) bool { return m.Day < in.From || m.Day > in.To })
	paid := r.money(in)
	r.lost(in, paid)
	r.needs(in)
	r.Bargains = bargains(in)
	r.WalkAway = walkAway(in)
	r.Ledger = Ledger(in.Moves, in.Catalogue)
	r.WaterL = per(waterUsed(in), r.PersonDays)
	r.PerDay, r.Litres = per(r.Spent, r.PersonDays), per(r.Litres, r.PersonDays)
	r.Marks = marked(in)
	r.Words = words(in, r)
	return r
}

func per(x, days float64) float64 {
	if days <= 0 {
		return 0
	}
	return x / days
}

// money adds up what was paid and gives what an item-unit cost.
func (r *Review) money(in Input) map[pricing.ItemID]float64 {
	sum, units := map[pricing.ItemID]float64{}, map[pricing.ItemID]float64{}
	for _, m := range in.Moves {
		if m.Kind == inventory.Used && m.For == inventory.Eaten {
			r.Litres += m.Quantity.Units() * in.Catalogue.Items[m.Item].Litres
		}
		if m.Kind != inventory.Bought {
			continue
		}
		x, ok := in.Home(m.Paid, m.Day)
		if !ok || m.Paid.Minor == 0 {
			r.Unpriced++
			continue
		}
		r.Spent += x
		sum[m.Item] += x
		units[m.Item] += m.Quantity.Units()
	}
	for id := range sum {
		sum[id] /= units[id]
	}
	return sum
}

func (r *Review) lost(in Input, paid map[pricing.ItemID]float64) {
	for _, m := range in.Moves {
		if m.Kind != inventory.Spoilt {
			continue
		}
		k := slices.IndexFunc(r.Lost, func(l Lost) bool { return l.Cause == m.Cause && l.Place == m.From })
		if k < 0 {
			k = len(r.Lost)
			r.Lost = append(r.Lost, Lost{Cause: m.Cause, Place: m.From})
		}
		i, l := in.Catalogue.Items[m.Item], &r.Lost[k]
		price, ok := paid[m.Item]
		if !ok {
			price = i.BasePrice
		}
		l.Kg += m.Quantity.Units() * i.Kg
		l.Worth += m.Quantity.Units() * price
		if !slices.Contains(l.Items, i.Name) {
			l.Items, l.Goods = append(l.Items, i.Name), append(l.Goods, i.ID)
		}
	}
	slices.SortStableFunc(r.Lost, func(a, b Lost) int { return cmp.Compare(b.Worth, a.Worth) })
}

func (r *Review) needs(in Input) {
	for _, n := range in.Catalogue.Needs {
		x := Need{Need: n.ID, Name: n.Name, Unit: n.Unit, List: n.PerPersonDay}
		days := 0.0
		for _, rec := range in.Records {
			if rec.Need == n.ID && rec.To > in.From && rec.To <= in.To {
				x.Used += rec.Used
				days += rec.PersonDays
				x.RanOut = x.RanOut || rec.RanOut
			}
		}
		if days > 0 {
			x.Actual = x.Used / days
			r.Needs = append(r.Needs, x)
		}
	}
}

// waterUsed is what left the tanks between the first and the last reading, as
// far as readings go.
func waterUsed(in Input) float64 {
	levels := logbook.Between(in.Log, in.From, in.To, logbook.WaterLevel)
	if len(levels) < 2 {
		return 0
	}
	a, b := levels[0], levels[len(levels)-1]
	came := logbook.Sum(in.Log, a.Day+1, b.Day, logbook.WaterFilled, logbook.WaterMade, logbook.Rain)
	return max(0, a.Amount+came-logbook.Sum(in.Log, a.Day+1, b.Day, logbook.WaterLost)-b.Amount)
}

// words is next season's list, in sentences.
func words(in Input, r Review) []string {
	var out []string
	for _, l := range in.Rates.Lines(in.Catalogue, usage.Season{PersonDays: r.PersonDays, Days: float64(in.To - in.From)}) {
		out = append(out, l.Words+".")
	}
	if text := usage.AppetiteOf(in.Catalogue, in.Records, in.To).Words(); text != "" {
		out = append(out, text+".")
	}
	for _, m := range r.Marks {
		out = append(out, fmt.Sprintf(markWords[m.Mark], m.Name))
	}
	if text := r.WalkAway.Words(); text != "" {
		out = append(out, text)
	}
	for _, l := range r.Lost {
		out = append(out, fmt.Sprintf("%.1f kg lost to %s in %s (%s).", l.Kg, l.Cause, l.Place, remedy(l.Cause)))
	}
	return out
}

func marked(in Input) (out []Marked) {
	for _, mark := range inventory.Marks() {
		for _, id := range in.Catalogue.Order {
			if in.Marks[id] == mark {
				out = append(out, Marked{id, in.Catalogue.Items[id].Name, mark})
			}
		}
	}
	return out
}

var markWords = map[inventory.Mark]string{
	inventory.RanOut:   "%s ran out: more, or a shop before it is gone.",
	inventory.LeftOver: "%s was left over: less.",
	inventory.Hated:    "%s: nobody liked it; leave it out.",
}

// remedies are what helps against each cause: common practice, no source.
var remedies = map[inventory.Cause]string{
	inventory.Overdue: "buy less at a time, or look at the use-first list", inventory.Mould: "drier, aired, wiped with vinegar",
	inventory.Rot: "aired, turned every other day, apart from ripening fruit", inventory.Sprouted: "darker and cooler",
	inventory.Rust: "not in a wet locker; varnish or bags", inventory.Wet: "another locker, or jars", inventory.Heat: "a cooler locker",
	inventory.Thawed: "ice bottles as a bank, an alarm", inventory.Chilled: "out of the fridge, into the net",
	inventory.Crushed: "boxes, fragile on top", inventory.Insects: "freeze, jars, another shop", inventory.Vermin: "lines, screens, no peel in the bin",
	inventory.Disliked: "leave it out",
}

func remedy(c inventory.Cause) string { return cmp.Or(remedies[c], "find out why") }
