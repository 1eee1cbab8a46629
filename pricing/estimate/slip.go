package estimate

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

// slip is a mistake that multiplies the price per unit by a known factor: what
// was paid, or what was in the pack, is a multiple of what was meant.
type slip struct {
	log        float64 // of the factor
	odds       float64 // against an honest report, before the price is seen
	reason     string
	paid, pack float64 // what was meant is this times as much
	currency   money.Currency
	words      string // empty: they follow from the numbers
}

// correct gives the figures that were meant; false when they cannot be.
func (s slip) correct(r *pricing.Report) (Correction, bool) {
	c := Correction{Reason: s.reason, Paid: r.Paid, Pack: r.Pack}
	if s.currency != "" {
		a, err := money.FromFloat(r.Paid.Float(), s.currency)
		c.Paid = a
		return c, err == nil && a.Minor > 0
	}
	if s.pack != 1 {
		c.Pack = measure.Of(r.Pack.Units() * s.pack)
	}
	if s.paid != 1 {
		a, err := money.FromFloat(r.Paid.Float()*s.paid, r.Paid.Currency)
		if err != nil {
			return c, false
		}
		c.Paid = a
	}
	return c, c.Pack > 0 && c.Paid.Minor > 0
}

// suggestion asks in a few words.
func (s slip) suggestion(r *pricing.Report) string {
	c, ok := s.correct(r)
	switch {
	case s.words != "":
		return s.words
	case !ok:
		return ""
	case s.currency != "":
		return "paid in " + string(s.currency) + "?"
	case s.pack != 1:
		return "pack " + c.Pack.Format(measure.Each) + " units?"
	}
	return "amount " + c.Paid.String() + "?"
}

// A report is questioned when the odds are this much for a slip and against an
// honest price, whose tails are taken as those of Student's t with slipNu
// degrees of freedom. What is grossly off what one expects would do more harm,
// and is questioned sooner.
const (
	slipEnough  = 1.1
	grossEnough = 0.3
	grossFactor = 2.7
	slipNu      = 8
	agreeDays   = 60
	agreeWithin = 0.2
)

// question holds back what is probably a slip. The first rounds know too
// little to do so.
func (f *fit) question(round int) {
	if round < 2 {
		return
	}
	f.questioned = f.questioned[:0]
	for k := range f.sights {
		o := &f.sights[k]
		o.held = false
		if o.remark {
			continue
		}
		r, c := &f.standing[o.source], &f.cells[o.cell]
		if s, odds := f.bestSlip(o, r, c.port, c.item); probable(odds/surer(r), o.off) && !f.confirmed(o) {
			o.held = true
			f.questioned = append(f.questioned, Questioned{r.ID, s.reason, s.suggestion(r)})
		}
	}
}

// bestSlip gives the slip that explains a report best, and the odds of any.
func (f *fit) bestSlip(o *sight, r *pricing.Report, port, item int32) (best slip, odds float64) {
	sd := math.Sqrt(o.offSD2)
	if math.Abs(o.off) < 1.5*sd {
		return best, 0
	}
	most, sum := 0.0, 0.0
	f.eachSlip(r, port, item, func(s slip) {
		p := s.odds * tails((o.off-s.log)/sd)
		sum += p
		if p > most {
			best, most = s, p
		}
	})
	return best, sum / tails(o.off/sd)
}

// eachSlip tells the slips that may have befallen a report.
func (f *fit) eachSlip(r *pricing.Report, port, item int32, tell func(slip)) {
	for _, kind := range [][]slip{decimalSlips, packSlips, unitSlips[f.itemOf[item].Unit]} {
		for _, s := range kind {
			tell(s)
		}
	}
	for _, c := range f.moneys[f.countryOf[port]] {
		if s, ok := f.currencySlip(r, c); ok {
			tell(s)
		}
	}
}

// probable says whether the odds of a slip are enough to question a report
// that is off by so much.
func probable(odds, off float64) bool {
	if math.Abs(off) >= math.Log(grossFactor) {
		return odds > grossEnough
	}
	return odds > slipEnough
}

// tails is the density of Student's t with slipNu degrees of freedom, up to
// its constant: (1 + z²/8)^(−9/2).
func tails(z float64) float64 {
	x := 1 + z*z/slipNu
	return 1 / (x * x * x * x * math.Sqrt(x))
}

// confirmed says whether another reporter saw about the same in that cell at
// about that time: a price that moved, not a slip.
func (f *fit) confirmed(o *sight) bool {
	c := f.cells[o.cell]
	for k := c.from; k < c.to; k++ {
		p := &f.sights[k]
		if p.reporter != o.reporter && !p.remark && max(p.day-o.day, o.day-p.day) <= agreeDays && math.Abs(p.y-o.y) < agreeWithin {
			return true
		}
	}
	return false
}

var decimalSlips = []slip{
	decimal(10, 4e-3), decimal(100, 1e-3), decimal(1000, 5e-4), decimal(0.1, 4e-3), decimal(0.01, 1e-3), decimal(0.001, 5e-4),
}

// decimal is a point in the wrong place of the amount.
func decimal(times, odds float64) slip {
	return slip{log: math.Log(times), odds: odds, reason: "decimal", paid: 1 / times, pack: 1}
}

var packSlips = []slip{
	bundle(6, 3e-3), bundle(12, 2e-3), bundle(24, 1e-3), oneOf(6, 3e-3), oneOf(12, 2e-3), oneOf(24, 1e-3),
}

// bundle is the price of so many packs given as that of one.
func bundle(packs, odds float64) slip {
	return slip{log: math.Log(packs), odds: odds, reason: "pack", paid: 1, pack: packs}
}

// oneOf is the price of one of so many in the pack given as that of the pack.
func oneOf(many, odds float64) slip {
	return slip{
		log: -math.Log(many), odds: odds, reason: "pack", paid: 1, pack: 1 / many, words: fmt.Sprintf("price of one of the %.0f in the pack?", many),
	}
}

// lb, and gallons of the US and imperial, in kg and L.
const (
	pound     = 0.45359237
	gallonUS  = 3.785411784
	gallonImp = 4.54609
)

// unitSlips: a price per pound given as one per kilogram is too low.
var unitSlips = map[measure.Unit][]slip{
	measure.Kilogram: {perUnit(pound, 1e-2, "price per lb, not per kg?"), perUnit(1/pound, 1e-2, "price per kg, not per lb?")},
	measure.Litre: {
		perUnit(gallonUS, 2e-3, "price per US gal, not per L?"), perUnit(1/gallonUS, 2e-3, "price per L, not per US gal?"),
		perUnit(gallonImp, 2e-3, "price per imp gal, not per L?"), perUnit(1/gallonImp, 2e-3, "price per L, not per imp gal?"),
	},
}

// perUnit is the price of another unit than was said.
func perUnit(units, odds float64, words string) slip {
	return slip{log: math.Log(units), odds: odds, reason: "unit", paid: 1, pack: units, words: words}
}

// currencySlip: the amount was paid in c, not in the currency it was given in.
func (f *fit) currencySlip(r *pricing.Report, c money.Currency) (slip, bool) {
	said, _, err := f.in.Rates.Per(r.Paid.Currency, r.Day)
	if err != nil || c == r.Paid.Currency {
		return slip{}, false
	}
	meant, _, err := f.in.Rates.Per(c, r.Day)
	log := math.Log(meant / said)
	return slip{log: log, odds: 5e-3, reason: "currency", paid: 1, pack: 1, currency: c}, err == nil && math.Abs(log) > 0.3
}

// findMoneys lists the currencies met in each country, most used first, and
// the reference currency: what a reporter may mix up.
func (f *fit) findMoneys() {
	used := make([]map[money.Currency]int, f.countries)
	for k := range f.sights {
		o := &f.sights[k]
		if o.remark {
			continue
		}
		c := f.countryOf[f.cells[o.cell].port]
		if used[c] == nil {
			used[c] = map[money.Currency]int{}
		}
		used[c][f.standing[o.source].Paid.Currency]++
	}
	f.moneys = make([][]money.Currency, f.countries)
	for c, by := range used {
		f.moneys[c] = mostUsed(by, f.in.Rates.Reference())
	}
}

func mostUsed(by map[money.Currency]int, always money.Currency) []money.Currency {
	var out []money.Currency
	for c := range by {
		out = append(out, c)
	}
	slices.SortFunc(out, func(a, b money.Currency) int { return cmp.Or(by[b]-by[a], cmp.Compare(a, b)) })
	out = out[:min(3, len(out))]
	for _, c := range []money.Currency{always, "USD"} {
		if c != "" && !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
}
