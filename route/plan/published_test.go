package plan_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

// atSea is a brief of stays of 0 days in one dry space without limits.
func atSea(legDays, tripCost []float64) plan.Brief {
	b := plan.Brief{Version: 1, Currency: "EUR", Start: "2027-05-29",
		Stowage: plan.Stowage{Spaces: []plan.Space{{ID: "dry", Litres: 1e6}}}}
	day := 0.0
	for s := range len(legDays) + 1 {
		stop := plan.Stop{Port: fmt.Sprintf("P%d", s), Arrive: day, Depart: day}
		if s < len(legDays) {
			stop.TripCost = tripCost[s]
			day += legDays[s]
		}
		b.Stops = append(b.Stops, stop)
	}
	return b
}

func perStop(n int, x float64) []float64 {
	xs := make([]float64, n)
	for i := range xs {
		xs[i] = x
	}
	return xs
}

// Wagner & Whitin, Management Science 5 (1958) 89-96: demand and set-up cost
// of 12 periods, holding cost 1; the optimum is 864.
var (
	wwDemand = []float64{69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56}
	wwSetup  = []float64{85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114}
)

const wwPrice = 20 // any price of at least 11 keeps all prices above 0

// wagnerWhitin folds the holding cost into the price: what is bought at stop
// s and eaten on leg t is held t - s periods, which costs t less s.
func wagnerWhitin(periods int) plan.Brief {
	b := atSea(perStop(12, 1), wwSetup)
	it := plan.Item{ID: "good", Yield: 1, Keeps: []plan.Keep{{Space: "dry", Days: perStop(13, float64(periods))}}}
	for s := range wwDemand {
		it.Offers = append(it.Offers, plan.Offer{Stop: s, Pack: 1, Price: wwPrice - float64(s)})
	}
	b.Needs = []plan.Need{{ID: "good", Unit: "each", UseInPort: perStop(13, 0), UseAtSea: wwDemand,
		MissingCost: 10_000, Items: []plan.Item{it}}}
	return b
}

// wwCost turns a plan's total into the cost Wagner and Whitin count.
func wwCost(total float64) float64 {
	for t, d := range wwDemand {
		total += float64(t)*d - wwPrice*d
	}
	return total
}

// wwAges gives the optimum by how many periods what is bought may be held.
// 864 is Wagner and Whitin's; the age limits were solved by dynamic
// programming, GLPK and CBC, which agree.
var wwAges = map[int]float64{0: 1234, 1: 901, 2: 864, 3: 864, 11: 864}

func TestExportedModelSolvesWagnerWhitin(t *testing.T) {
	t.Parallel()
	for age, want := range wwAges {
		t.Run(fmt.Sprintf("age %d", age), func(t *testing.T) {
			t.Parallel()
			require.InDelta(t, want, wwCost(cbcOptimum(t, wagnerWhitin(age+1), asLP)), 1e-3)
		})
	}
}

// stock6 reads the toy of testdata/instances/README.md as a brief. An age
// counts at the end of a leg there, so days are cut to the last leg end
// within the life. Its prices are per unit, ours per pack.
func stock6(t testing.TB) plan.Brief {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(instances, "stock6.json"))
	require.NoError(t, err)
	var toy struct {
		Legs  []float64 `json:"leg_days"`
		Trip  []float64 `json:"trip_cost"`
		Items []struct {
			Name   string     `json:"name"`
			PerDay float64    `json:"per_day"`
			Litres float64    `json:"litres"`
			Class  string     `json:"cls"`
			Age    float64    `json:"max_age_days"`
			Pack   float64    `json:"pack"`
			Price  []*float64 `json:"price"`
		} `json:"items"`
		Room map[string]float64 `json:"capacity_l"`
	}
	require.NoError(t, json.Unmarshal(data, &toy))
	b := atSea(toy.Legs, toy.Trip)
	b.Stowage.Spaces = []plan.Space{{ID: "dry", Litres: toy.Room["dry"]}, {ID: "cool", Litres: toy.Room["cool"]}}
	for _, x := range toy.Items {
		it := plan.Item{ID: x.Name, Yield: 1, Litres: x.Litres,
			Keeps: []plan.Keep{{Space: x.Class, Days: append(legEnds(toy.Legs, x.Age), 0)}}}
		for s, price := range x.Price {
			if price != nil {
				it.Offers = append(it.Offers, plan.Offer{Stop: s, Pack: x.Pack, Price: *price * x.Pack})
			}
		}
		b.Needs = append(b.Needs, plan.Need{ID: x.Name, UseInPort: perStop(7, 0), UseAtSea: perStop(6, x.PerDay),
			MissingCost: 1000, Items: []plan.Item{it}})
	}
	return b
}

// legEnds is the last leg end within an age, in days from each departure.
func legEnds(legs []float64, age float64) []float64 {
	days := make([]float64, len(legs))
	for s := range legs {
		for _, leg := range legs[s:] {
			if days[s]+leg > age {
				break
			}
			days[s] += leg
		}
	}
	return days
}

// 251.635 with storage, trip costs and whole packs: HiGHS, GLPK and CBC on a
// model written by hand, not on ours.
const stock6Optimum = 251.635

func TestExportedModelSolvesStock6(t *testing.T) {
	t.Parallel()
	// The cutoff spares CBC the search above it. Were the optimum higher it
	// would find none, were it lower it would find that.
	got := cbcOptimum(t, stock6(t), asLP, "cutoff", "251.636", "gmi", "on", "twoMir", "on")
	require.InDelta(t, stock6Optimum, got, 1e-5)
}
