package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"github.com/google/uuid"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/fx"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/route/port"
)

const (
	randomSeed = 20260905
	reporters  = 40
	wanted     = 3000 // reports
)

// inventor makes reports; every choice comes from rng, so the order of calls
// is part of the result.
type inventor struct {
	rng     *rand.Rand
	goods   []goods
	ports   *port.Gazetteer
	rates   fx.Rates
	today   calendar.Day
	luck    map[pair]float64 // an item's own price at a place against what is believed
	reports []pricing.Report
}

type pair struct {
	port pricing.PortID
	item pricing.ItemID
}

// sailor is an invented reporter.
type sailor struct {
	id       string
	memory   float64 // share of reports from memory
	careless float64 // chance of a slip per report
	tall     float64 // factor of one who tells tall tales
	first    int     // season: years before the demo's
}

func (v *inventor) invent() error {
	for k := range reporters {
		s := v.sailor(k)
		for _, c := range v.season(s) {
			if err := v.call(s, c); err != nil {
				return err
			}
		}
	}
	slices.SortStableFunc(v.reports, func(a, b pricing.Report) int { return int(a.Day - b.Day) })
	return nil
}

func (v *inventor) sailor(k int) sailor {
	s := sailor{id: fmt.Sprintf("boat-%02d", k+1), memory: 0.25 * v.rng.Float64(), careless: 0.008, tall: 1, first: v.rng.IntN(3)}
	if k%13 == 5 {
		s.careless = 0.06
	}
	if k == 17 {
		s.tall = 1.5 // one who likes to frighten the others
	}
	return s
}

// visit is a shopping day of one sailor.
type visit struct {
	place place
	day   calendar.Day
	lines int
}

// season is a sailor's way through the places, with days before today.
func (v *inventor) season(s sailor) []visit {
	var out []visit
	for left := wanted / reporters; left > 0; {
		p := v.pick()
		n := min(left, 4+v.rng.IntN(18))
		if day, ok := v.dayAt(p, s); ok {
			out = append(out, visit{p, day, n})
			left -= n
		}
	}
	slices.SortStableFunc(out, func(a, b visit) int { return int(a.day - b.day) })
	return out
}

func (v *inventor) pick() place {
	sum := 0.0
	for _, p := range places {
		sum += p.visits
	}
	at := v.rng.Float64() * sum
	for _, p := range places {
		if at -= p.visits; at < 0 {
			return p
		}
	}
	return places[len(places)-1]
}

// dayAt is a day in the place's months of one of the sailor's seasons, if
// that lies before today.
func (v *inventor) dayAt(p place, s sailor) (calendar.Day, bool) {
	year := 2025 - s.first + v.rng.IntN(2)
	from := calendar.Of(time.Date(year, p.from, 1, 0, 0, 0, 0, time.UTC))
	to := calendar.Of(time.Date(year, p.to+1, 1, 0, 0, 0, 0, time.UTC))
	day := from + calendar.Day(v.rng.IntN(int(to-from)))
	return day, day < v.today
}

// call is one receipt: a shop, a day, a handful of goods, and what was looked
// for in vain.
func (v *inventor) call(s sailor, c visit) error {
	p, ok := v.ports.Port(c.place.port)
	if !ok {
		return fmt.Errorf("place %s is in no gazetteer", c.place.port)
	}
	shop := shops[v.rng.IntN(len(shops))]
	shopLevel := math.Exp(0.06 * v.rng.NormFloat64())
	source := pricing.Receipt
	switch x := v.rng.Float64(); {
	case x < s.memory:
		source = pricing.Memory
	case x < s.memory+0.3:
		source = pricing.Shelf
	}
	seen := map[pricing.ItemID]bool{}
	for len(seen) < c.lines {
		g := v.goodsAt(c.place)
		if seen[g.ID] {
			continue
		}
		seen[g.ID] = true
		r := pricing.Report{
			ID: v.uuid(), Port: p.ID, Item: g.ID, Day: c.day, Reporter: s.id, Source: source, Shop: shop,
		}
		if err := v.fill(&r, g, s, c.place, p, shopLevel); err != nil {
			return err
		}
		v.reports = append(v.reports, r)
	}
	return nil
}

var shops = []string{
	"supermarket on the ring road", "small supermarket by the quay", "market hall", "corner shop", "cash and carry",
	"baker and grocer", "minimart at the marina", "wholesaler behind the church", "street market", "",
}

func (v *inventor) goodsAt(p place) goods {
	for {
		g := v.goods[v.rng.IntN(len(v.goods))]
		if v.rng.Float64()*2 < g.weight {
			return g
		}
	}
}

// fill decides what was found: a price, none, or only a word about it.
func (v *inventor) fill(r *pricing.Report, g goods, s sailor, p place, at port.Port, shopLevel float64) error {
	there := p.stock
	if x, ok := scarce[g.Category]; ok {
		there *= x
	}
	if v.rng.Float64() > there {
		r.Found, r.Shop, r.Source = pricing.FoundNone, "", pricing.Shelf
		return nil
	}
	truth := v.luckOf(g, at.ID) * shopLevel * math.Exp(0.04*v.rng.NormFloat64()) * s.tall
	if v.rng.Float64() < 0.08 {
		r.Found, r.Source = word(truth), pricing.Memory
		return nil
	}
	r.Found = pricing.FoundYes
	return v.price(r, g, s, believed(g.Item, p, at.Country)*truth*grown(float64(v.today-r.Day)), at)
}

// word compares what was seen with what one expects: about 15 % makes the
// difference.
func word(ratio float64) pricing.Found {
	switch {
	case ratio < 0.87:
		return pricing.Cheap
	case ratio > 1.15:
		return pricing.Dear
	}
	return pricing.Fair
}

func (v *inventor) luckOf(g goods, p pricing.PortID) float64 {
	k := pair{p, g.ID}
	if _, ok := v.luck[k]; !ok {
		sd := 0.11
		if g.ShelfClass == "prod" || g.ShelfClass == "prodc" {
			sd = 0.17
		}
		v.luck[k] = math.Exp(sd * v.rng.NormFloat64())
	}
	return v.luck[k]
}

// packElasticity: a pack of double size costs a fifth of a doubling less.
const packElasticity = 0.2

// price writes down what was paid for one pack, with the reporter's slips.
func (v *inventor) price(r *pricing.Report, g goods, s sailor, perUnit float64, at port.Port) error {
	pack := g.ListPack
	if v.rng.Float64() < 0.3 && len(g.Packs) > 0 {
		pack = g.Packs[v.rng.IntN(len(g.Packs))]
	}
	ratio := pack.Units() / g.ListPack.Units()
	eur := perUnit * pack.Units() * math.Pow(ratio, -packElasticity)
	local, err := v.local(eur, at.Currency, r.Day)
	if err != nil {
		return err
	}
	if r.Source == pricing.Memory {
		local *= math.Exp(0.10 * v.rng.NormFloat64())
	}
	currency := at.Currency
	local, pack, currency = v.slip(r, s, local, eur, pack, currency)
	paid, err := money.FromFloat(shelf(local, currency), currency)
	if err != nil {
		return fmt.Errorf("report %s: %w", r.ID, err)
	}
	r.Paid, r.Pack = paid, pack
	v.colour(r, g, at)
	return nil
}

func (v *inventor) local(eur float64, c money.Currency, d calendar.Day) (float64, error) {
	there, _, err := v.rates.Per(c, d)
	if err != nil {
		return 0, err
	}
	euro, _, err := v.rates.Per("EUR", d)
	return eur / euro * there, err
}

// slip is the careless reporter: pounds for kilograms, a lost decimal point,
// the wrong currency, one of a tray.
func (v *inventor) slip(r *pricing.Report, s sailor, local, eur float64, pack measure.Quantity, c money.Currency) (float64, measure.Quantity, money.Currency) {
	if v.rng.Float64() >= s.careless {
		return local, pack, c
	}
	switch v.rng.IntN(4) {
	case 0:
		return local * 10, pack, c
	case 1:
		return local / 2.2046, pack, c
	case 2:
		if c != "EUR" {
			return eur, pack, c
		}
		return local * 10, pack, c
	}
	return local * 6, pack, c
}

// shelf rounds to the prices shops write.
func shelf(x float64, c money.Currency) float64 {
	step, ok := steps[c]
	if !ok || x < step {
		step = 0.01
	}
	y := math.Round(x/step) * step
	if c == "EUR" && x > 1 {
		y -= 0.01
	}
	return max(y, step)
}

// colour adds what some reporters also write.
func (v *inventor) colour(r *pricing.Report, g goods, at port.Port) {
	if (g.ShelfClass == "prod" || g.ShelfClass == "prodc" || g.ShelfClass == "egg") && v.rng.Float64() < 0.5 {
		r.Quality = 1 + min(4, int(2+2*v.rng.Float64()+v.rng.Float64()))
	}
	if v.rng.Float64() < 0.06 {
		r.Origin = at.Country
	}
	if v.rng.Float64() < 0.03 {
		r.Note = remarks[v.rng.IntN(len(remarks))]
	}
}

var remarks = []string{
	"last on the shelf", "on offer this week", "cash only", "price per piece, weighed at home", "ship came yesterday",
	"long queue", "card with 3 % on top", "deposit on the bottle not counted",
}

func (v *inventor) uuid() string {
	var b [16]byte
	for k := 0; k < 16; k += 8 {
		x := v.rng.Uint64()
		for j := range 8 {
			b[k+j] = byte(x >> (8 * j))
		}
	}
	b[6], b[8] = b[6]&0x0f|0x40, b[8]&0x3f|0x80
	return uuid.UUID(b).String()
}

// amend lets some reporters find their slip and correct it, and a few take a
// report back.
func (v *inventor) amend() {
	var priced []int
	for k, r := range v.reports {
		if r.Found == pricing.FoundYes && r.Day < v.today-10 {
			priced = append(priced, k)
		}
	}
	v.rng.Shuffle(len(priced), func(i, j int) { priced[i], priced[j] = priced[j], priced[i] })
	for n, k := range priced[:16] {
		old := &v.reports[k]
		again := *old
		again.ID, again.Replaces, again.Day = v.uuid(), old.ID, old.Day+1+calendar.Day(v.rng.IntN(6))
		if n < 4 {
			again = pricing.Report{ID: again.ID, Replaces: old.ID, Port: old.Port, Item: old.Item, Day: again.Day, Reporter: old.Reporter, Source: old.Source}
		} else {
			old.Paid.Minor *= 10
			again.Note = "first time with a digit too many"
		}
		v.reports = append(v.reports, again)
	}
}
