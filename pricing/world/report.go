package world

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/google/uuid"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

// Invent invents a world. Its reports are in the order of days.
func Invent(s Spec) *World {
	var reports []pricing.Report
	w := Tell(s, func(r pricing.Report) { reports = append(reports, r) })
	w.Reports = reports
	slices.SortFunc(w.Reports, func(a, b pricing.Report) int { return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.ID, b.ID)) })
	return w
}

// Tell invents a world and tells its reports one by one, pair by pair: for
// worlds of more reports than fit into memory.
func Tell(s Spec, report func(pricing.Report)) *World {
	s = s.settled()
	w := &World{Spec: s, Day: Day, Slipped: map[string]float64{}, Lied: map[string]bool{}}
	h := &history{
		nature: newNature(s, w), world: w, tell: report, faults: stream(s.Seed, 3), noise: stream(s.Seed, 4), truth: stream(s.Seed, 5),
	}
	h.people()
	visits := h.visits()
	var ages []int
	for p := range s.Ports {
		for i := range s.Items {
			ages = ages[:0]
			for ; len(visits) > 0 && visits[0].pair == int32(p*s.Items+i); visits = visits[1:] {
				ages = append(ages, int(visits[0].age))
			}
			h.pair(p, i, ages)
		}
	}
	return w
}

// history is a world being reported.
type history struct {
	*nature
	world                *World
	tell                 func(pricing.Report)
	faults, noise, truth draw
	who                  []person
	next                 int
}

type person struct{ bias, loose, lie float64 }

func (h *history) people() {
	d := stream(h.Seed, 2)
	h.who = make([]person, h.Reporters)
	for u := range h.who {
		h.who[u] = person{d.normal(h.ReporterSD), math.Exp(d.normal(0.3)), 0}
		if lie := lieOf(d); d.Float64() < h.Liars {
			h.who[u].lie = lie
		}
	}
}

// lieOf draws the log of a factor from 1.5 to 10.
func lieOf(d draw) float64 { return math.Log(1.5) + d.Float64()*math.Log(10/1.5) }

// visit is of a pair, port by port, so many days before Day.
type visit struct{ pair, age int32 }

// visits draws which pairs are reported on and when: few ports and items get
// most of the reports. They come by pair and age.
func (h *history) visits() []visit {
	d := stream(h.Seed, 6)
	item, port := rand.NewZipf(d.Rand, 1.1, 8, uint64(h.Items-1)), rand.NewZipf(d.Rand, 1.1, 6, uint64(h.Ports-1))
	var out []visit
	for range h.Reports {
		p, i, age := int(port.Uint64()), int(item.Uint64()), d.IntN(int(365.25*h.Years))
		if p < h.Ports-h.QuietPorts && h.countryOf[p] >= h.QuietCountries {
			out = append(out, visit{int32(p*h.Items + i), int32(age)})
		}
	}
	slices.SortFunc(out, func(a, b visit) int { return cmp.Or(cmp.Compare(a.pair, b.pair), cmp.Compare(a.age, b.age)) })
	return out
}

// pair makes the past of an item at a port, from today backwards: ages ascend.
func (h *history) pair(p, i int, ages []int) {
	d := h.truth
	now := d.normal(h.CellSD)
	jumped, jump := 0, 0.0
	if x, by, age := d.Float64(), 0.35+0.3*d.Float64(), d.IntN(700); x < h.Jumps {
		jumped, jump = age, by*float64(1-2*d.IntN(2))
	}
	w := h.world
	log := h.level(p, i, 0) + now
	w.Pairs = append(w.Pairs, Pair{
		Port: p, Item: i, Log: log, Receipt: log + h.outlet[d.IntN(len(outlets))] + h.NoiseSD*d.student(), Abroad: h.abroad(p, i),
	})
	at, last := now, 0
	for _, age := range ages {
		f := math.Exp(-float64(age-last) / h.MemoryDays)
		at, last = f*at+d.normal(h.CellSD*math.Sqrt(1-f*f)), age
		level := h.level(p, i, age) + at
		if jumped > 0 && age > jumped {
			level -= jump
		}
		if h.report(p, i, age, level) {
			w.Pairs[len(w.Pairs)-1].Seen = true
		}
	}
}

// level is the log price without the pair's own deviation.
func (h *history) level(p, i, age int) float64 {
	c, g := h.countryOf[p], h.categoryOf[i]
	y := h.item[i] + h.country[c] + h.port[p] + h.taste[c][g] + h.product[c][i] - h.drift[c]*float64(age)/365.25
	if h.Season > 0 && seasonal(g) {
		phase := 2 * math.Pi * (float64(Day) - float64(age)) / 365.25
		if h.southern[p] {
			phase += math.Pi
		}
		y += h.Season * math.Cos(phase+float64(g))
	}
	if fell := h.fell[c]; fell > 0 && age <= fell {
		y -= math.Log(1.5) * math.Exp(-float64(fell-age)/240)
	}
	return y
}

// report writes one report of a pair at a level, and says whether it has a
// price. Faults are drawn whether or not they are made, so that worlds with
// and without are alike but for them.
func (h *history) report(p, i, age int, level float64) bool {
	d, w := h.noise, h.world
	it := w.Items[i]
	u, ratio, outlet := d.IntN(h.Reporters), []float64{0.5, 1, 1, 1, 2, 5}[d.IntN(6)], d.IntN(len(outlets))
	source, loose := pricing.Receipt, 1.0
	switch x := d.Float64(); {
	case x < 0.15:
		source, loose = pricing.Memory, 1.4
	case x < 0.4:
		source, loose = pricing.Shelf, 1.1
	}
	who := h.who[u]
	y := level - h.pack[h.categoryOf[i]]*math.Log(ratio) + who.bias + h.outlet[outlet] + h.NoiseSD*loose*who.loose*d.student()
	h.next++
	r := pricing.Report{
		ID: uuid.NewSHA1(uuid.NameSpaceURL, fmt.Appendf(nil, "invented %d %d", h.Seed, h.next)).String(), Port: w.Ports[p].ID, Item: it.ID,
		Day: Day - calendar.Day(age), Found: pricing.FoundYes, Shop: outlets[outlet], Reporter: fmt.Sprintf("u%04d", u), Source: source,
	}
	y += h.lie(&r, who.lie)
	y += h.slip(&r, w.Ports[p].Currency, it.Unit)
	return h.put(&r, y, level-h.level(p, i, age), ratio, p, it)
}

// put gives the report its price or its word.
func (h *history) put(r *pricing.Report, y, deviation, ratio float64, p int, it Item) bool {
	switch x := h.noise.Float64(); {
	case x < h.None:
		r.Found = pricing.FoundNone
	case x < h.None+h.Vague:
		r.Found = word(deviation + h.noise.normal(h.NoiseSD))
	}
	if r.Found != pricing.FoundYes {
		delete(h.world.Slipped, r.ID)
		delete(h.world.Lied, r.ID)
		h.tell(*r)
		return false
	}
	c := h.world.Ports[p].Currency
	per, _, _ := h.world.Rates.Per(c, r.Day) // every currency here has a rate
	r.Pack = measure.Of(it.ListPack.Units() * ratio)
	paid, err := money.FromFloat(math.Exp(y)*r.Pack.Units()*per, c)
	if err != nil || paid.Minor <= 0 || paid.Float() > mostPaid {
		return false
	}
	r.Paid = paid
	h.tell(*r)
	return true
}

// mostPaid keeps what heavy tails may draw within what anybody pays for food.
const mostPaid = 1e9

func word(deviation float64) pricing.Found {
	switch {
	case deviation < -0.15:
		return pricing.Cheap
	case deviation > 0.15:
		return pricing.Dear
	}
	return pricing.Fair
}

// lie is the log factor of a liar's report or one of the swarm.
func (h *history) lie(r *pricing.Report, own float64) float64 {
	swarm, wild := h.faults.Float64() < h.Swarm, lieOf(h.faults)
	switch {
	case swarm:
		r.Reporter = "new" + r.ID[:12]
		own = wild
	case own != 0 && h.Wild:
		own = wild
	}
	if own == 0 || h.Honest {
		return 0
	}
	h.world.Lied[r.ID] = true
	return own
}

const pound = 0.45359237 // kg

// slip is the log factor of a mistake.
func (h *history) slip(r *pricing.Report, c money.Currency, u measure.Unit) float64 {
	happens, kind, sign := h.faults.Float64() < h.Slips, h.faults.IntN(4), float64(1-2*h.faults.IntN(2))
	if !happens {
		return 0
	}
	per, _, _ := h.world.Rates.Per(c, r.Day)
	log := math.Ln10 * sign
	switch {
	case kind == 1:
		log = math.Log(6)
	case kind == 2 && math.Abs(math.Log(per)) > 0.3:
		log = -math.Log(per) // paid in euro, written as the local currency
	case kind == 3 && u == measure.Kilogram:
		log = math.Log(pound)
	}
	h.world.Slipped[r.ID] = log
	return log
}
