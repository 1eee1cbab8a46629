package public_test

import (
	"cmp"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"

	"hardtack/api/public"
	"hardtack/db/dbtest"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

// fact is what the attacker does not know: whose a told report is.
type fact struct {
	pricing.Report
	boat  string
	batch int
}

// habits are what a boat may be known by.
type habits struct {
	name    string
	dear    float64 // goes to the dear shop, or to the market
	big     bool    // buys big packs
	ninety  bool    // shops where prices end in 9
	source  pricing.Source
	foreign bool // pays in euros where that is taken
}

const (
	items = 40
	xpf   = 119.33 // for a euro, the peg
)

// fleetReports are the reports of boats on a season's rounds: on each shopping
// day a whole receipt. All numbers are invented.
func fleetReports(rng *rand.Rand, boats, ports int) []public.Waiting {
	var out []public.Waiting
	level := make([]float64, items)
	for i := range level {
		level[i] = rng.NormFloat64() + 1
	}
	for b := range boats {
		h := habits{
			name: fmt.Sprint("boat ", b), dear: rng.NormFloat64() * 0.08, big: rng.IntN(3) == 0, ninety: rng.IntN(2) == 0,
			source: []pricing.Source{pricing.Receipt, pricing.Shelf, pricing.Memory}[rng.IntN(3)], foreign: rng.IntN(6) == 0,
		}
		at := day("2026-04-01")
		for at < day("2026-08-01") {
			port := rng.IntN(ports)
			for range 8 + rng.IntN(20) {
				out = append(out, h.line(rng, port, level, public.Waiting{Account: h.name, Received: at + 2, Report: pricing.Report{Day: at}}))
			}
			at += calendar.Day(4 + rng.IntN(10))
		}
	}
	return out
}

func (h habits) line(rng *rand.Rand, port int, level []float64, w public.Waiting) public.Waiting {
	i := rng.IntN(items)
	pack := 1.0
	if h.big && rng.IntN(3) > 0 {
		pack = 2
	}
	price := math.Exp(level[i]+h.dear+0.2*rng.NormFloat64()) * math.Pow(pack, 0.8) * 100 // larger packs are cheaper by the unit
	if h.ninety {
		price = math.Floor(price/10)*10 + 9
	}
	w.Paid = money.Amount{Minor: int64(max(1, price)), Currency: "EUR"}
	if !h.foreign && port%2 == 0 {
		w.Paid = money.Amount{Minor: int64(max(1, price/100*xpf)), Currency: "XPF"}
	}
	w.ID, w.Found, w.Pack = id(rng), pricing.FoundYes, measure.Of(pack)
	w.Port, w.Item = pricing.PortID(fmt.Sprint("P", port)), pricing.ItemID(fmt.Sprint("i", i))
	w.Source, w.Shop, w.Reporter = h.source, h.name+"'s shop", h.name
	return w
}

// id is an id drawn with the world, so that a seed is the same world again.
func id(rng *rand.Rand) string {
	var u uuid.UUID
	binary.LittleEndian.PutUint64(u[:8], rng.Uint64())
	binary.LittleEndian.PutUint64(u[8:], rng.Uint64())
	return u.String()
}

// toldSeason publishes every three days, as a server does, and gives all that
// everybody can see, with the truth beside.
func toldSeason(rng *rand.Rand, all []public.Waiting) []fact {
	byID := map[string]public.Waiting{}
	var waiting []public.Waiting
	slices.SortFunc(all, func(a, b public.Waiting) int {
		return cmp.Or(cmp.Compare(a.Received, b.Received), cmp.Compare(a.ID, b.ID))
	})
	var out []fact
	batch := 0
	for today, next := day("2026-04-02"), 0; today < day("2026-10-01"); today += 3 {
		for ; next < len(all) && all[next].Received <= today; next++ {
			waiting = append(waiting, all[next])
			byID[all[next].ID] = all[next]
		}
		due := public.Usual.Due(waiting, today)
		batch++
		rng.Shuffle(len(due), func(i, j int) { due[i], due[j] = due[j], due[i] })
		gone := map[string]bool{}
		for _, d := range due {
			w := byID[d.Report]
			how := public.Usually{Pack: measure.One, Currency: "EUR", Factor: 1}
			if w.Paid.Currency == "XPF" {
				how.Factor = 1 / xpf
			}
			paid, pack, ok := public.Blur(w.Report, how, 2*rng.Float64()-1)
			if !ok {
				continue
			}
			w.Paid, w.Pack = paid, pack
			out = append(out, fact{public.Form(w.Report, id(rng), d.Day, ""), w.Account, batch}) // an id says no more than the batch
			gone[d.Report] = true
		}
		waiting = slices.DeleteFunc(waiting, func(w public.Waiting) bool { return gone[w.ID] })
	}
	return out
}

// An attacker has all that is told, and guesses for every report another one
// of the same boat, by whatever may tell boats apart: that both came at once,
// the same port and month, items that one boat reports only once, pack sizes,
// price endings, currencies, prices above or below the usual. It does better
// than a guess among the same port and month by less than a fifth.
//
// What is public of a report, that it is from this port and this month, is the
// chance it is measured against.
func TestAnAttackerLinksNoBetterThanChance(t *testing.T) {
	t.Parallel()
	hits, chances := map[string]float64{}, map[string]float64{}
	seeds := uint64(dbtest.Rounds(t, 3, 8))
	for seed := range seeds {
		rng := rand.New(rand.NewPCG(seed, 1))
		told := toldSeason(rng, fleetReports(rng, 36, 8))
		require.Greater(t, len(told), 1000)
		for name, score := range attacks(told) {
			hit, chance := linked(told, score)
			require.Greater(t, chance, 0.02, "a chance worth comparing with")
			hits[name] += hit
			chances[name] += chance
			t.Logf("seed %d, by %s: %.2f × chance", seed, name, hit/chance)
		}
	}
	for name, hit := range hits {
		dbtest.Figure(t, "L5", "two reports of one boat linked, by "+name, "%.2f × chance, mean of %d seasons", hit/chances[name], seeds)
		require.LessOrEqual(t, hit, chances[name]*1.2, "by %s", name)
	}
}

// attacks score how likely two told reports are one boat's.
func attacks(told []fact) map[string]func(a, b fact) float64 {
	mean, n := map[string]float64{}, map[string]float64{}
	unit := func(f fact) float64 { return math.Log(float64(f.Paid.Minor) / f.Pack.Units()) }
	cell := func(f fact) string { return string(f.Item) + string(f.Paid.Currency) }
	for _, f := range told {
		mean[cell(f)] += unit(f)
		n[cell(f)]++
	}
	excess := func(f fact) float64 { return unit(f) - mean[cell(f)]/n[cell(f)] }
	is := func(b bool) float64 {
		if b {
			return 1
		}
		return 0
	}
	one := map[string]func(a, b fact) float64{
		"batch":    func(a, b fact) float64 { return is(a.batch == b.batch) },
		"item":     func(a, b fact) float64 { return is(a.Item != b.Item) },
		"pack":     func(a, b fact) float64 { return is(a.Pack == b.Pack) },
		"ending":   func(a, b fact) float64 { return is((a.Paid.Minor%10 == 9) == (b.Paid.Minor%10 == 9)) },
		"currency": func(a, b fact) float64 { return is(a.Paid.Currency == b.Paid.Currency) },
		"level":    func(a, b fact) float64 { return -math.Abs(excess(a) - excess(b)) },
		"id":       func(a, b fact) float64 { return -math.Abs(float64(a.ID[0]) - float64(b.ID[0])) },
		"rest":     func(a, b fact) float64 { return is(a.Source == b.Source && a.Shop == b.Shop && a.Note == b.Note) },
	}
	one["all of it"] = func(a, b fact) float64 {
		return one["batch"](a, b) + one["item"](a, b) + one["pack"](a, b) + one["ending"](a, b) + one["currency"](a, b) + one["level"](a, b)
	}
	return one
}

// linked is how often the best-scored other report is the same boat's, and how
// often one drawn from the same port and month would be.
func linked(told []fact, score func(a, b fact) float64) (hit, chance float64) {
	pools := map[string][]fact{}
	for _, f := range told {
		k := string(f.Port) + f.Day.String()
		pools[k] = append(pools[k], f)
	}
	n := 0.0
	for _, pool := range pools {
		for i, a := range pool {
			best, hits, ties, same := math.Inf(-1), 0.0, 0.0, 0.0
			for j, b := range pool {
				if i == j {
					continue
				}
				own := 0.0
				if a.boat == b.boat {
					own = 1
				}
				same += own
				switch s := score(a, b); {
				case s > best:
					best, hits, ties = s, own, 1
				case s == best:
					hits, ties = hits+own, ties+1
				}
			}
			if len(pool) > 1 {
				n++
				hit += hits / ties
				chance += same / float64(len(pool)-1)
			}
		}
	}
	return hit / n, chance / n
}

// The measure must find what is there to be found: with ids told, everything.
func TestTheMeasureFindsWhatIsTold(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(1, 1))
	told := toldSeason(rng, fleetReports(rng, 36, 8))
	hit, chance := linked(told, func(a, b fact) float64 {
		if a.boat == b.boat {
			return 1
		}
		return 0
	})
	require.Greater(t, hit, 0.95)
	require.Less(t, chance, 0.5)
}
