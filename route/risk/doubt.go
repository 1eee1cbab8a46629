// Package risk walks a planned season many times, with passages, prices,
// shelves, appetites and keeping as they may turn out, and counts what runs
// short, where, and what is spent.
//
// At every stop the skipper shops anew with what is then aboard: the plan's
// own purchases, cut where stores are left over and filled up where they are
// not, by what a unit costs here against what waiting for the ports ahead is
// expected to cost. Units are those of plan.Brief. The same arguments give the
// same answer whatever the number of workers; seasons with the same seed meet
// the same weather, prices and shelves, so that what is compared differs by
// what is decided alone.
package risk

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"hardtack/pricing/item"
	"hardtack/route/plan"
)

// ErrInput is a doubt or plan that does not fit the brief.
var ErrInput = errors.New("does not fit the brief")

// Doubt is how far a season may stray from its brief.
type Doubt struct {
	Legs   []float64   // by leg: sd of the log of its days; 0 = as planned
	Drift  float64     // log of how much longer than planned the boat's passages take in the mean of their logs; 0 = as planned
	Supply []string    // by stop: whose ship brings the goods; stops of one ship find or miss a thing together; "" = its own
	Needs  []NeedDoubt // by need of the brief
}

// NeedDoubt is how far the use of a need may stray.
type NeedDoubt struct {
	Class  item.Necessity
	Season float64 // coefficient of variation of the crew's use over the season
	Day    float64 // of one day's use beside it
	Items  []ItemDoubt
}

// ItemDoubt is how far an item may stray.
type ItemDoubt struct {
	Life  float64 // sd of the log of the days it keeps
	Stops []OfferDoubt
}

// OfferDoubt is what is not known of an item at a stop. The brief's price is
// the expected one.
type OfferDoubt struct {
	LogSD     float64 // of the price met
	Available float64 // probability of finding it at all, 0–1
}

// Usual spreads, where nobody has learned others: common practice, no source,
// except that prices of one good within a market differ by 19 to 36 % (Kaplan
// & Menzio 2015, Int. Econ. Rev. 56:1165–1206).
const (
	coastLogSD = 0.10
	oceanLogSD = 0.20
	oceanDays  = 6.0 // from here a leg counts as ocean
	seasonCV   = 0.15
	dayCV      = 0.50
	freshLife  = 0.15
	freshDays  = 60.0 // what keeps shorter is fresh
	priceLogSD = 0.20
	available  = 0.90
)

// Usual is the doubt about a brief nothing more is known of. Classes are read
// off what going without costs.
func Usual(b plan.Brief) Doubt {
	d := Doubt{Supply: make([]string, len(b.Stops))}
	for l := range len(b.Stops) - 1 {
		d.Legs = append(d.Legs, legLogSD(b.Stops[l+1].Arrive-b.Stops[l].Depart))
	}
	for _, n := range b.Needs {
		nd := NeedDoubt{Class: classOf(n), Season: seasonCV, Day: dayCV}
		for _, it := range n.Items {
			id := ItemDoubt{Life: lifeLogSD(it), Stops: make([]OfferDoubt, len(b.Stops))}
			for s := range id.Stops {
				id.Stops[s] = OfferDoubt{priceLogSD, available}
			}
			nd.Items = append(nd.Items, id)
		}
		d.Needs = append(d.Needs, nd)
	}
	return d
}

func legLogSD(days float64) float64 {
	switch {
	case days <= 0:
		return 0
	case days < oceanDays:
		return coastLogSD
	}
	return oceanLogSD
}

func lifeLogSD(it plan.Item) float64 {
	longest := 0.0
	for _, k := range it.Keeps {
		for _, d := range k.Days {
			longest = max(longest, d)
		}
	}
	if longest < freshDays {
		return freshLife
	}
	return 0
}

// classOf reads a need's class off its missing cost in median prices: 60, 15,
// 5 and 2 are what a brief is built with.
func classOf(n plan.Need) item.Necessity {
	var prices []float64
	for _, it := range n.Items {
		for _, o := range it.Offers {
			prices = append(prices, o.Price/(o.Pack*it.Yield))
		}
	}
	if len(prices) == 0 {
		return item.Staple
	}
	slices.Sort(prices)
	switch x := n.MissingCost / prices[len(prices)/2]; {
	case x >= 40 || math.IsInf(x, 1):
		return item.Safety
	case x >= 10:
		return item.Staple
	case x >= 3.5:
		return item.Comfort
	}
	return item.Luxury
}

// check wants a doubt of the brief's shape, with numbers that are some.
func (d Doubt) check(b plan.Brief) error {
	if len(d.Legs) != len(b.Stops)-1 || len(d.Supply) != len(b.Stops) || len(d.Needs) != len(b.Needs) {
		return fmt.Errorf("doubt about %d legs, %d stops and %d needs: %w of %d stops and %d needs",
			len(d.Legs), len(d.Supply), len(d.Needs), ErrInput, len(b.Stops), len(b.Needs))
	}
	if !(math.Abs(d.Drift) <= mostSpread) {
		return fmt.Errorf("drift %v: %w: want -%v to %v", d.Drift, ErrInput, mostSpread, mostSpread)
	}
	spreads := slices.Clone(d.Legs)
	for n, nd := range d.Needs {
		if len(nd.Items) != len(b.Needs[n].Items) {
			return fmt.Errorf("doubt about %d items of need %s: %w", len(nd.Items), b.Needs[n].ID, ErrInput)
		}
		spreads = append(spreads, nd.Season, nd.Day)
		for i, id := range nd.Items {
			if len(id.Stops) != len(b.Stops) {
				return fmt.Errorf("doubt about item %s at %d stops: %w", b.Needs[n].Items[i].ID, len(id.Stops), ErrInput)
			}
			spreads = append(spreads, id.Life)
			for _, o := range id.Stops {
				spreads = append(spreads, o.LogSD)
				if !(o.Available >= 0 && o.Available <= 1) {
					return fmt.Errorf("item %s: available %v: %w: want 0 to 1", b.Needs[n].Items[i].ID, o.Available, ErrInput)
				}
			}
		}
	}
	for _, x := range spreads {
		if !(x >= 0 && x <= mostSpread) {
			return fmt.Errorf("spread %v: %w: want 0 to %v", x, ErrInput, mostSpread)
		}
	}
	return nil
}

// mostSpread is beyond anything believable.
const mostSpread = 3.0
