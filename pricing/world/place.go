package world

import (
	"fmt"
	"math"
	"math/rand/v2"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/fx"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

// nature is what is true of a world before anybody reports.
type nature struct {
	Spec
	draw
	country, port, item []float64
	elsewhere           []float64   // what other countries' levels make one expect of each country's
	taste, product      [][]float64 // by country
	pack, drift         []float64
	outlet              []float64
	countryOf           []int
	categoryOf          []int
	southern            []bool // by port
	fell                []int  // by country: the day before Day its money was devalued, 0 never
}

// draw draws from one stream, so that what one draws does not move another.
type draw struct{ *rand.Rand }

func stream(seed, which uint64) draw { return draw{rand.New(rand.NewPCG(seed, which))} }

func (d draw) normal(sd float64) float64 { return sd * d.NormFloat64() }

func (d draw) normals(n int, sd float64) []float64 {
	out := make([]float64, n)
	for k := range out {
		out[k] = d.normal(sd)
	}
	return out
}

// student draws from Student's t with four degrees of freedom.
func (d draw) student() float64 {
	chi := 0.0
	for range 4 {
		x := d.NormFloat64()
		chi += x * x
	}
	return d.NormFloat64() / math.Sqrt(chi/4)
}

type point [3]float64

func (p point) degrees() (latitude, longitude float64) {
	return math.Asin(p[2]) * 180 / math.Pi, math.Atan2(p[1], p[0]) * 180 / math.Pi
}

// around is a place within about r radians of p.
func (d draw) around(p point, r float64) point {
	q := point{p[0] + d.normal(r), p[1] + d.normal(r), p[2] + d.normal(r)}
	n := math.Hypot(math.Hypot(q[0], q[1]), q[2])
	return point{q[0] / n, q[1] / n, q[2] / n}
}

// nearby draws a normal value for every place; near is the share of the
// variance that neighbours within about reach radians have in common.
func (d draw) nearby(places []point, sd, near, reach float64) []float64 {
	const bumps = 400 // of random cosine waves, a field with Gaussian covariance
	out := d.normals(len(places), sd*math.Sqrt(1-near))
	scale := sd * math.Sqrt(near*2/bumps)
	for range bumps {
		w := point{d.normal(1 / reach), d.normal(1 / reach), d.normal(1 / reach)}
		phase := 2 * math.Pi * d.Float64()
		for k, p := range places {
			out[k] += scale * math.Cos(w[0]*p[0]+w[1]*p[1]+w[2]*p[2]+phase)
		}
	}
	return out
}

// The currencies of the countries in turn, and about what a euro buys of them.
var moneys = []struct {
	code   money.Currency
	per    float64
	pegged bool
}{
	{"EUR", 1, true}, {"GBP", 0.86, false}, {"NOK", 11.5, false}, {"USD", 1.1, false}, {"XCD", 2.97, false}, {"CVE", 110.265, true},
	{"BRL", 6.1, false}, {"SEK", 11.2, false}, {"DKK", 7.46, true}, {"MAD", 10.7, false}, {"TTD", 7.5, false}, {"ZAR", 20, false},
	{"EUR", 1, true}, {"FJD", 2.5, false}, {"XPF", 119.332, true}, {"MXN", 20, false}, {"THB", 39, false}, {"IDR", 17500, false},
}

func currencyOf(country int) money.Currency { return moneys[country%len(moneys)].code }

// code is a country code ISO 3166-1 leaves to users, beyond these any other.
func code(country int) string {
	switch {
	case country < 25:
		return "X" + "ABCDEFGHIJLMNOPQRSTUVWXYZ"[country:country+1] // XK stands for Kosovo
	case country < 39:
		return "Q" + string(rune('M'+country-25))
	}
	country -= 39
	return string([]rune{'A' + rune(country/26%26), 'A' + rune(country%26)})
}

func newNature(s Spec, w *World) *nature {
	n := &nature{Spec: s, draw: stream(s.Seed, 1)}
	if s.Known != nil {
		n.known(w)
	} else {
		n.places(w)
		n.things(w)
		n.money(w)
	}
	n.outlet = n.normals(len(outlets), s.OutletSD)
	mean := 0.0
	for _, x := range n.outlet {
		mean += x / float64(len(outlets))
	}
	for k := range n.outlet {
		n.outlet[k] -= mean
	}
	return n
}

var outlets = []string{"market", "supermarket", "corner shop", "chandler", "wholesale"}

func (n *nature) places(w *World) {
	lands := make([]point, n.Countries)
	for c := range lands {
		lands[c] = n.around(point{}, 1)
	}
	harbours := make([]point, n.Ports)
	n.countryOf, n.southern = make([]int, n.Ports), make([]bool, n.Ports)
	for p := range harbours {
		c := n.IntN(n.Countries)
		if p < n.Countries {
			c = p
		}
		n.countryOf[p], harbours[p] = c, n.around(lands[c], 0.04)
		latitude, longitude := harbours[p].degrees()
		n.southern[p] = latitude < 0
		w.Ports = append(w.Ports, Port{
			pricing.PortID(fmt.Sprintf("%s%03d", code(c), p)), code(c), round(latitude), round(longitude), currencyOf(c),
		})
	}
	n.levels(lands, harbours)
}

// levels draws how dear places are.
func (n *nature) levels(lands, harbours []point) {
	n.country = n.nearby(lands, n.CountrySD, n.Near, reachOfLands)
	n.elsewhere = elsewhere(lands, n.country, n.QuietCountries, n.Near)
	n.port = n.nearby(harbours, n.PortSD, n.Near, 0.03)
	n.drift = n.normals(n.Countries, n.DriftSD)
	for c := range n.drift {
		n.drift[c] += 0.03
	}
}

func round(x float64) float64 { return math.Round(x*1e4) / 1e4 }

func (n *nature) things(w *World) {
	category := n.discounts()
	n.item, n.categoryOf = make([]float64, n.Items), make([]int, n.Items)
	for i := range n.item {
		g := n.IntN(n.Categories)
		n.categoryOf[i], n.item[i] = g, 1+category[g]+n.normal(n.ItemSD)
		unit := []measure.Unit{measure.Kilogram, measure.Litre, measure.Each}[n.IntN(3)]
		w.Items = append(w.Items, Item{
			ID: pricing.ItemID(fmt.Sprintf("i%04d", i)), Category: categoryName(g), Unit: unit, ListPack: measure.Of([]float64{0.5, 1, 1.5}[n.IntN(3)]),
		})
	}
	n.likes()
}

// discounts draws how dear categories are, and how much less a large pack is.
func (n *nature) discounts() (category []float64) {
	category = n.normals(n.Categories, n.CategorySD)
	n.pack = n.normals(n.Categories, 0.1)
	for g := range n.pack {
		n.pack[g] += 0.2
	}
	return category
}

// likes draws what is dear where.
func (n *nature) likes() {
	n.taste, n.product = make([][]float64, n.Countries), make([][]float64, n.Countries)
	for c := range n.taste {
		n.taste[c], n.product[c] = n.normals(n.Categories, n.TasteSD), n.normals(n.Items, n.ProductSD)
	}
}

func categoryName(g int) string {
	if seasonal(g) {
		return fmt.Sprintf("fresh %02d", g)
	}
	return fmt.Sprintf("group %02d", g)
}

func seasonal(category int) bool { return category%3 == 0 }

// money lets rates wander month by month, and some fall.
func (n *nature) money(w *World) {
	days := int(365.25 * n.Years)
	n.fell = make([]int, n.Countries)
	fell := map[money.Currency]int{}
	for k := range n.Devalued {
		c := (3*k + 1) % n.Countries
		fell[currencyOf(c)] = 60 + n.IntN(300)
	}
	var rates []fx.Rate
	known := map[money.Currency]bool{}
	for _, m := range moneys {
		if known[m.code] {
			continue
		}
		known[m.code] = true
		per := m.per
		for age := days + 20; age >= 0; age -= 30 {
			if f := fell[m.code]; f > 0 && age <= f && age+30 > f {
				per *= 1.5
			}
			rates = append(rates, fx.Rate{Currency: m.code, Day: Day - calendar.Day(age), PerReference: per})
			if !m.pegged {
				per *= math.Exp(n.normal(0.02))
			}
		}
	}
	for c := range n.fell {
		n.fell[c] = fell[currencyOf(c)]
	}
	w.Rates, _ = fx.New("EUR", rates) // all rates are plausible, EUR is 1
}
