package estimate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/fx"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

// invented is a world whose true prices are known: two-way effects, countries
// with tastes and currencies of their own, prices that wander, careless and
// loose reporters. All of it is invented; its sizes and spreads follow the
// start values of the model only roughly.
type invented struct {
	Input
	truth map[[2]int]float64 // log price on Day, by port and item number
	slips map[string]float64 // log factor by report id
	tall  map[string]float64 // reporters who lie, by factor
}

type worldSize struct {
	items, categories, ports, countries, reporters, reports int
	slips, liars, swarm                                     float64 // shares; the swarm are new accounts with a lie each
	tame, wild                                              bool    // liars tell the truth, or lie by another factor every time
	quietPorts, quietCountries                              int     // without reports
}

const worldDay = calendar.Day(20_600)

// invent draws a world.
func invent(seed uint64, z worldSize) *invented {
	r := rand.New(rand.NewPCG(seed, 7))
	normal := func(sd float64) float64 { return sd * r.NormFloat64() }
	w := &invented{truth: map[[2]int]float64{}, slips: map[string]float64{}, tall: map[string]float64{}}
	w.Day = worldDay
	category := make([]float64, z.categories)
	beta := make([]float64, z.categories)
	for g := range category {
		category[g], beta[g] = 1+normal(0.8), 0.2+normal(0.1)
	}
	item := make([]float64, z.items)
	for i := range item {
		g := r.IntN(z.categories)
		item[i] = category[g] + normal(0.5)
		unit := []measure.Unit{measure.Kilogram, measure.Litre, measure.Each}[g%3]
		w.Items = append(w.Items, Item{ID: pricing.ItemID(fmt.Sprintf("i%03d", i)), Category: fmt.Sprintf("g%02d", g), Unit: unit, ListPack: measure.Of([]float64{0.5, 1, 1.5}[r.IntN(3)])})
	}
	country, drift := make([]float64, z.countries), make([]float64, z.countries)
	twist := make([][]float64, z.countries)
	currencies := []money.Currency{"EUR", "GBP", "NOK", "USD", "XCD", "CVE", "BRL", "SEK", "DKK", "MAD", "TTD", "ZAR"}
	var rates []fx.Rate
	for k, c := range currencies {
		per := []float64{1, 0.86, 11.5, 1.1, 2.97, 110.265, 6.1, 11.2, 7.46, 10.7, 7.5, 20}[k]
		for m := range 37 {
			rates = append(rates, fx.Rate{Currency: c, Day: worldDay - 1110 + calendar.Day(30*m), PerReference: per})
			if c != "EUR" && c != "CVE" && c != "DKK" {
				per *= math.Exp(normal(0.02))
			}
		}
	}
	var err error
	if w.Rates, err = fx.New("EUR", rates); err != nil {
		panic(err)
	}
	for c := range country {
		country[c], drift[c] = normal(0.28), 0.03+normal(0.02)
		twist[c] = make([]float64, z.categories)
		for g := range twist[c] {
			twist[c][g] = normal(0.15)
		}
	}
	port, countryOf := make([]float64, z.ports), make([]int, z.ports)
	for p := range port {
		countryOf[p] = r.IntN(z.countries)
		if p < z.countries {
			countryOf[p] = p
		}
		port[p] = normal(0.12)
		w.Ports = append(w.Ports, Port{ID: pricing.PortID(fmt.Sprintf("p%02d", p)), Country: fmt.Sprintf("c%02d", countryOf[p])})
	}
	type reporter struct{ bias, scale, tall float64 }
	who := make([]reporter, z.reporters)
	for u := range who {
		who[u] = reporter{normal(0.04), math.Exp(normal(0.3)), 1}
		if r.Float64() < z.liars {
			who[u].tall = []float64{1.5, 2, 4, 10}[r.IntN(4)]
			w.tall[fmt.Sprintf("u%03d", u)] = who[u].tall
		}
	}
	zipfItem, zipfPort := rand.NewZipf(r, 1.1, 8, uint64(z.items-1)), rand.NewZipf(r, 1.1, 6, uint64(z.ports-1))
	type key struct{ p, i int }
	days := map[key][]int{}
	for range z.reports {
		k := key{int(zipfPort.Uint64()), int(zipfItem.Uint64())}
		if k.p >= z.ports-z.quietPorts || countryOf[k.p] < z.quietCountries {
			continue
		}
		days[k] = append(days[k], r.IntN(3*365))
	}
	deviation := func(ages []int) (at []float64, now float64) { // OU path backwards from today
		const sd, tau = 0.19, 430.0
		now = normal(sd)
		last, x := 0, now
		for _, a := range ages {
			f := math.Exp(-float64(a-last) / tau)
			x = f*x + normal(sd*math.Sqrt(1-f*f))
			last = a
			at = append(at, x)
		}
		return at, now
	}
	n := 0
	for p := range z.ports {
		for i := range z.items {
			c := countryOf[p]
			g := 0
			fmt.Sscanf(w.Items[i].Category, "g%d", &g)
			m := item[i] + country[c] + port[p] + twist[c][g]
			ages := days[key{p, i}]
			slices.Sort(ages)
			at, now := deviation(ages)
			w.truth[[2]int{p, i}] = m + now
			for k, age := range ages {
				n++
				u, id := r.IntN(z.reporters), fmt.Sprintf("r%06d", n)
				ratio := []float64{0.5, 1, 1, 1, 2, 5}[r.IntN(6)]
				pack := w.Items[i].ListPack.Units() * ratio
				source, loose := pricing.Receipt, 1.0
				if r.Float64() < 0.25 {
					source, loose = pricing.Memory, 1.3
				}
				y := m + at[k] - drift[c]*float64(age)/365.25 - beta[g]*math.Log(ratio) + who[u].bias + 0.17*loose*who[u].scale*student4(r)
				name := fmt.Sprintf("u%03d", u)
				y += w.lie(r, z, who[u].tall)
				if r.Float64() < z.swarm {
					name = "new" + id
					if f := 1.5 + 8.5*r.Float64(); !z.tame {
						y += math.Log(f)
					}
				}
				if r.Float64() < z.slips {
					w.slips[id] = w.slip(r, currencies[c%len(currencies)], w.Items[i].Unit)
					y += w.slips[id]
				}
				day := worldDay - calendar.Day(age)
				currency := currencies[c%len(currencies)]
				per, _, _ := w.Rates.Per(currency, day)
				paid, err := money.FromFloat(math.Exp(y)*pack*per, currency)
				if err != nil || paid.Minor <= 0 {
					continue
				}
				w.Reports = append(w.Reports, pricing.Report{
					ID: id, Port: w.Ports[p].ID, Item: w.Items[i].ID, Day: day, Found: pricing.FoundYes, Paid: paid,
					Pack: measure.Of(pack), Reporter: name, Source: source,
				})
			}
		}
	}
	return w
}

// slip draws the log factor of a mistake: a decimal point, a pack of six, the
// wrong currency, pounds for kilograms.
func (w *invented) slip(r *rand.Rand, c money.Currency, u measure.Unit) float64 {
	per, _, _ := w.Rates.Per(c, worldDay)
	switch kind := r.IntN(4); {
	case kind == 1:
		return math.Log(6)
	case kind == 2 && math.Abs(math.Log(per)) > 0.3:
		return -math.Log(per) // paid in euro, written as the local currency
	case kind == 3 && u == measure.Kilogram:
		return math.Log(pound)
	}
	return math.Ln10 * float64(1-2*r.IntN(2))
}

// lie is the log factor of a liar's report.
func (w *invented) lie(r *rand.Rand, z worldSize, tall float64) float64 {
	again := r.Float64()
	switch {
	case z.tame || tall == 1:
		return 0
	case z.wild:
		return math.Log(1.5) + again*math.Log(10/1.5)
	}
	return math.Log(tall)
}

// student4 draws from Student's t with four degrees of freedom.
func student4(r *rand.Rand) float64 {
	chi := 0.0
	for range 4 {
		x := r.NormFloat64()
		chi += x * x
	}
	return r.NormFloat64() / math.Sqrt(chi/4)
}

// score is a root mean square log error over cells.
type score struct{ sum, n float64 }

func (s *score) add(e float64) { s.sum += e * e; s.n++ }
func (s score) rmse() float64  { return math.Sqrt(s.sum / s.n) }
