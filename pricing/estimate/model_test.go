package estimate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/fx"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

// shop is a small world: rice in half-kilogram packs, milk, eggs; Horta and
// Ponta Delgada in Portugal, Mindelo in Cape Verde.
func shop(t *testing.T, day calendar.Day) Input {
	t.Helper()
	rates, err := fx.New("EUR", []fx.Rate{{Currency: "CVE", Day: 1, PerReference: 110.265}})
	require.NoError(t, err)
	return Input{
		Day: day, Rates: rates,
		Items: []Item{
			{ID: "rice", Category: "staple", Unit: measure.Kilogram, ListPack: measure.Of(0.5)},
			{ID: "milk", Category: "dairy", Unit: measure.Litre, ListPack: measure.One},
			{ID: "egg", Category: "fresh egg", Unit: measure.Each, ListPack: measure.Of(12)},
		},
		Ports: []Port{{ID: "PTHOR", Country: "PT"}, {ID: "PTPDL", Country: "PT"}, {ID: "CVMIN", Country: "CV"}},
	}
}

var idOf = func(n int) string { return fmt.Sprintf("r%05d", n) }

// bought is rice at Horta.
func bought(eur, pack float64) *pricing.Report {
	paid, err := money.FromFloat(eur, "EUR")
	if err != nil {
		panic(err)
	}
	return &pricing.Report{
		ID: "x", Port: "PTHOR", Item: "rice", Day: 90, Found: pricing.FoundYes, Paid: paid, Pack: measure.Of(pack),
		Reporter: "a", Source: pricing.Receipt,
	}
}

func priced(in *Input, mid float64) {
	rng := rand.New(rand.NewPCG(5, 5))
	for n := range 40 {
		r := *bought(mid/2*math.Exp(0.08*rng.NormFloat64()), 0.5)
		r.ID, r.Reporter, r.Day = idOf(n), fmt.Sprint("u", n%9), calendar.Day(60+n)
		r.Port = []pricing.PortID{"PTHOR", "PTPDL"}[n%2]
		in.Reports = append(in.Reports, r)
	}
}

func TestBasisSaysWhatAFigureRestsOn(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	priced(&in, 3)
	for k := range in.Reports {
		in.Reports[k].Port = "PTHOR"
	}
	m := Fit(in)
	for _, tt := range []struct {
		port  pricing.PortID
		item  pricing.ItemID
		basis pricing.Basis
	}{
		{"PTHOR", "rice", pricing.BasisCell}, {"PTPDL", "rice", pricing.BasisCountry}, {"CVMIN", "rice", pricing.BasisAll},
		{"PTHOR", "milk", pricing.BasisGuess}, {"nowhere", "rice", pricing.BasisAll}, {"PTHOR", "nothing", pricing.BasisGuess},
	} {
		e := m.At(tt.port, tt.item, 100)
		require.Equal(t, tt.basis, e.Basis, "%s %s", tt.port, tt.item)
		require.True(t, 0 < e.Low80 && e.Low80 < e.Price && e.Price < e.High80 && !math.IsInf(e.High80, 0))
		require.True(t, 0 < e.Available && e.Available < 1)
	}
	e := m.At("PTHOR", "rice", 100)
	require.InDelta(t, 3, e.Price, 0.15)
	require.Equal(t, calendar.Day(99), e.Newest)
	require.Greater(t, e.Evidence, 5.0)
	wide := func(p pricing.PortID) float64 { return m.At(p, "rice", 100).LogSD }
	require.Less(t, wide("PTHOR"), wide("PTPDL"))
	require.Less(t, wide("PTPDL"), wide("CVMIN"))
}

func TestAPriorAnswersWithoutReports(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	in.Items[0].BasePrice, in.Items[0].BaseLogSD = 2, 0.4
	in.Ports[2].Level = 1.5
	m := Fit(in)
	here, there := m.At("PTHOR", "rice", 100), m.At("CVMIN", "rice", 100)
	require.InDelta(t, 2, here.Price, 1e-9)
	require.InDelta(t, 2*math.Pow(1.5, levelElasticity), there.Price, 1e-9)
	require.Equal(t, pricing.BasisGuess, here.Basis)
	require.Zero(t, here.Evidence)
	require.Greater(t, here.High80/here.Low80, 2.5)
	require.Less(t, here.High80/here.Low80, 8.0)
}

// An old cell returns to what the port makes one expect.
func TestBeliefsFade(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	priced(&in, 3)
	dear := *bought(2.4, 0.5) // 4.8 a kilogram where 3 is usual
	for n := range 4 {
		dear.ID, dear.Reporter, dear.Day, dear.Port = idOf(900+n), fmt.Sprint("v", n), calendar.Day(92+n), "CVMIN"
		in.Reports = append(in.Reports, dear)
	}
	m := Fit(in)
	now, later := m.At("CVMIN", "rice", 100), m.At("CVMIN", "rice", 1200)
	require.Greater(t, now.Price, later.Price)
	require.Greater(t, now.Evidence, 5*later.Evidence)
	require.Less(t, now.LogSD, later.LogSD)
}

func TestWordsMoveTheCell(t *testing.T) {
	t.Parallel()
	say := func(f pricing.Found) pricing.Estimate {
		in := shop(t, 100)
		priced(&in, 3)
		for n := range 5 {
			r := pricing.Report{ID: idOf(800 + n), Port: "CVMIN", Item: "rice", Day: 95, Found: f, Reporter: fmt.Sprint("w", n), Source: pricing.Memory}
			in.Reports = append(in.Reports, r)
		}
		return Fit(in).At("CVMIN", "rice", 100)
	}
	cheap, fair, dear, none := say(pricing.Cheap), say(pricing.Fair), say(pricing.Dear), say(pricing.FoundNone)
	require.Less(t, cheap.Price, 0.97*fair.Price)
	require.Greater(t, dear.Price, 1.03*fair.Price)
	require.InDelta(t, 3, fair.Price, 0.3)
	require.Greater(t, fair.Evidence, 0.0)
	require.Zero(t, fair.Newest, "a word is no price")
	require.Less(t, none.Available, 0.5)
	require.Greater(t, fair.Available, 0.9)
}

func TestReplacedReportsDoNotCount(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	priced(&in, 3)
	want := Fit(in).At("PTHOR", "rice", 100)
	wrong := *bought(9, 0.5)
	wrong.ID, wrong.Day = "wrong", 95
	gone := pricing.Report{ID: "gone", Port: "PTHOR", Item: "rice", Day: 96, Reporter: "a", Replaces: "wrong"}
	late := *bought(900, 0.5)
	late.ID, late.Day = "late", 101
	in.Reports = append(in.Reports, wrong, gone, late)
	require.Equal(t, want, Fit(in).At("PTHOR", "rice", 100))
}

// A slip is held back, and named; a price that two saw is none.
func TestSlipsAreQuestioned(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name           string
		paid, pack     float64
		currency       money.Currency
		reason, wanted string
	}{
		{"a digit too many", 15, 0.5, "EUR", "decimal", "amount 1.50 EUR?"},
		{"escudos called euro", 165.4, 0.5, "EUR", "currency", "paid in CVE?"},
		{"of a tray of six", 9, 0.5, "EUR", "pack", "pack 3 units?"},
		{"of one in a tray of six", 0.25, 0.5, "EUR", "pack", "price of one of the 6 in the pack?"},
		{"per pound", 0.68, 0.5, "EUR", "unit", "price per lb, not per kg?"},
	} {
		in := shop(t, 100)
		priced(&in, 3)
		r := *bought(tt.paid, tt.pack)
		r.ID, r.Reporter, r.Port, r.Day = "slip", "z", "PTPDL", 97
		if tt.currency == "EUR" && tt.reason == "currency" {
			r.Port = "CVMIN"
			for n := range 6 {
				c := *bought(1, 0.5)
				c.Paid = money.Amount{Minor: int64(16000 + 100*n), Currency: "CVE"}
				c.ID, c.Port, c.Reporter, c.Day = idOf(700+n), "CVMIN", fmt.Sprint("m", n), calendar.Day(30+n)
				in.Reports = append(in.Reports, c)
			}
		}
		before := Fit(in).At(r.Port, "rice", 100)
		in.Reports = append(in.Reports, r)
		m := Fit(in)
		require.Equal(t, []Questioned{{"slip", tt.reason, tt.wanted}}, m.Questioned(), tt.name)
		require.InEpsilon(t, before.Price, m.At(r.Port, "rice", 100).Price, 0.02, tt.name)

		other := r
		other.ID, other.Reporter, other.Day = "second", "y", 98
		in.Reports = append(in.Reports, other)
		require.Empty(t, Fit(in).Questioned(), tt.name+", seen by another too")
	}
}

func TestNothingDependsOnTheOrderOfAnything(t *testing.T) {
	t.Parallel()
	w := invent(spec(8, 25, 10, 4, 500))
	want := answers(Fit(w.Input), w)
	rng := rand.New(rand.NewPCG(8, 8))
	in := w.Input
	in.Reports = append([]pricing.Report(nil), in.Reports...)
	in.Items, in.Ports = append([]Item(nil), in.Items...), append([]Port(nil), in.Ports...)
	rng.Shuffle(len(in.Reports), func(i, j int) { in.Reports[i], in.Reports[j] = in.Reports[j], in.Reports[i] })
	rng.Shuffle(len(in.Items), func(i, j int) { in.Items[i], in.Items[j] = in.Items[j], in.Items[i] })
	rng.Shuffle(len(in.Ports), func(i, j int) { in.Ports[i], in.Ports[j] = in.Ports[j], in.Ports[i] })
	require.Equal(t, want, answers(Fit(in), w), "to the last bit")
}

func answers(m *Model, w *invented) []pricing.Estimate {
	var out []pricing.Estimate
	for _, k := range w.known {
		out = append(out, m.At(k.Port, k.Item, k.Day))
	}
	return out
}

// Doubling every price doubles every estimate, and changing the unit of
// account by a fixed rate changes nothing but that.
func TestEstimatesScaleWithPrices(t *testing.T) {
	t.Parallel()
	w := invent(spec(9, 25, 10, 4, 500))
	want := answers(Fit(w.Input), w)
	in := w.Input
	in.Reports = append([]pricing.Report(nil), in.Reports...)
	for k := range in.Reports {
		in.Reports[k].Paid.Minor *= 2
	}
	for k, e := range answers(Fit(in), w) {
		require.InEpsilon(t, 2*want[k].Price, e.Price, 1e-3)
		require.InEpsilon(t, 2*want[k].High80, e.High80, 1e-3)
		require.InDelta(t, want[k].Evidence, e.Evidence, 1e-2)
	}
}

// Whatever is reported, every pair has an answer that is a number.
func TestAnyReportsGiveAnAnswer(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(r *rapid.T) {
		in := shop(t, 100)
		if rapid.Bool().Draw(r, "prior") {
			in.Items[0].BasePrice, in.Ports[2].Level = 2, 1.4
		}
		for n := range rapid.IntRange(0, 45).Draw(r, "reports") {
			in.Reports = append(in.Reports, drawReport(r, n))
		}
		m := Fit(in)
		for _, p := range append(in.Ports, Port{ID: "nowhere"}) {
			for _, i := range append(in.Items, Item{ID: "nothing"}) {
				for _, day := range []calendar.Day{50, 100, 5000} {
					e := m.At(p.ID, i.ID, day)
					require.True(r, 0 < e.Low80 && e.Low80 < e.Price && e.Price < e.High80 && e.High80 < math.Inf(1), "%s %s %+v", p.ID, i.ID, e)
					require.True(r, e.Evidence >= 0 && e.Evidence <= 50 && e.Available > 0 && e.Available < 1, "%+v", e)
				}
			}
		}
	})
}

func drawReport(r *rapid.T, n int) pricing.Report {
	out := pricing.Report{
		ID:       idOf(n),
		Port:     rapid.SampledFrom([]pricing.PortID{"PTHOR", "PTPDL", "CVMIN", "unknown"}).Draw(r, "port"),
		Item:     rapid.SampledFrom([]pricing.ItemID{"rice", "milk", "egg"}).Draw(r, "item"),
		Day:      calendar.Day(rapid.IntRange(1, 120).Draw(r, "day")),
		Found:    rapid.SampledFrom([]pricing.Found{pricing.FoundYes, pricing.FoundYes, pricing.FoundNone, pricing.Cheap, pricing.Dear, pricing.Fair}).Draw(r, "found"),
		Reporter: rapid.SampledFrom([]string{"a", "b", "c"}).Draw(r, "who"),
		Source:   rapid.SampledFrom([]pricing.Source{pricing.Receipt, pricing.Memory}).Draw(r, "source"),
	}
	if out.Found == pricing.FoundYes {
		out.Paid = money.Amount{
			Minor:    rapid.Int64Range(1, 1_000_000_000_000).Draw(r, "paid"),
			Currency: rapid.SampledFrom([]money.Currency{"EUR", "CVE", "GBP"}).Draw(r, "currency"), // GBP has no rate
		}
		out.Pack = measure.Quantity(rapid.Int64Range(1, 1_000_000_000_000).Draw(r, "pack"))
	}
	return out
}

// Seven forty for half a kilo of what costs three a kilo.
func TestAQuestionSaysWhatMayHaveBeenMeant(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	priced(&in, 3)
	m := Fit(in)
	r := bought(15, 0.5)
	r.ID, r.Day, r.Reporter = "new", 99, "z"
	d, ok := m.Question(r)
	require.True(t, ok)
	require.InDelta(t, 10, d.Times, 1)
	require.InDelta(t, 1.5, d.Usual.Float(), 0.15)
	require.NotEmpty(t, d.Corrections)
	require.Equal(t, Correction{"decimal", money.Amount{Minor: 150, Currency: "EUR"}, measure.Of(0.5)}, d.Corrections[0])
	for _, c := range d.Corrections {
		fixed := *r
		fixed.Paid, fixed.Pack = c.Paid, c.Pack
		_, again := m.Question(&fixed)
		require.False(t, again, "what is suggested is not questioned: %+v", c)
	}
	_, ok = m.Question(bought(1.6, 0.5))
	require.False(t, ok)
	sure := *bought(4.2, 0.5)
	sure.ID, sure.Day, sure.Port = "sure", 99, "PTPDL"
	_, ok = m.Question(&sure)
	require.True(t, ok)
	sure.Replaces = "r00001"
	_, ok = m.Question(&sure)
	require.False(t, ok, "who looked again is believed sooner")
}
