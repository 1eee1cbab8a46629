package main

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"

	"hardtack/pricing/estimate"
	"hardtack/pricing/world"
	"hardtack/route/plan"
)

type liarsCmd struct {
	Size    string  `default:"small" help:"tiny, small, season or big."`
	First   uint64  `default:"1" help:"First seed, of brief and world."`
	Seeds   uint64  `default:"4" help:"How many seeds."`
	Room    string  `enum:"both,loose,tight" default:"both" help:"both, loose or tight."`
	Liars   float64 `default:"0.2" help:"Share of reporters who lie."`
	Work    int     `default:"0" help:"Budget of each plan; 0 is the usual."`
	Reports int     `default:"15000" help:"Reports in the world."`
}

// Run prints what plans cost at the true prices of an invented world: made with
// these, with estimates from honest reports, and with estimates from reports
// some of which are lies.
func (c *liarsCmd) Run(ctx context.Context) error {
	list, err := chosen(c.Size, c.First, c.Seeds, c.Room)
	if err != nil {
		return err
	}
	fmt.Println("| brief | true prices known | honest reports | same lie | over honest | other lie every time | over honest |")
	fmt.Println("|---|---|---|---|---|---|---|")
	more := make([][]float64, 2)
	for _, o := range list {
		w := c.markets(o.seed)
		row, err := c.costs(ctx, w, o.brief())
		if err != nil {
			return fmt.Errorf("%v: %w", o, err)
		}
		fmt.Printf("| %v | %.2f | %.2f |", o, row[0], row[1])
		for k, cost := range row[2:] {
			off := cost/row[1] - 1
			more[k] = append(more[k], off)
			fmt.Printf(" %.2f | %+.2f %% |", cost, 100*off)
		}
		fmt.Println()
	}
	fmt.Printf("\nover plans made with honest reports: same lie mean %+.2f %%, other lie every time mean %+.2f %%\n", 100*stat.Mean(more[0], nil), 100*stat.Mean(more[1], nil))
	return ctx.Err()
}

// markets are log prices by port and item: true, and believed from three sets
// of reports.
type markets struct {
	ports, items int
	log          [4][]float64
}

// markets invents a world of as many ports and items as briefs may need.
func (c *liarsCmd) markets(seed uint64) markets {
	s := world.Usual(seed, world.Kinds()["plain"])
	s.Reports, s.QuietPorts, s.QuietCountries = c.Reports, 0, 0
	m := markets{ports: s.Ports, items: s.Items}
	for k, faults := range []world.Faults{{}, {Liars: c.Liars}, {Liars: c.Liars, Wild: true}} {
		faults.Slips, faults.None, faults.Vague = s.Slips, s.None, s.Vague
		s.Faults = faults
		w := world.Invent(s)
		f := estimate.Fit(inputOf(w))
		for _, p := range w.Pairs {
			if k == 0 {
				m.log[0] = append(m.log[0], p.Log)
			}
			m.log[1+k] = append(m.log[1+k], math.Log(f.At(w.Ports[p.Port].ID, w.Items[p.Item].ID, w.Day).Price))
		}
	}
	return m
}

// inputOf is what a model is given of an invented world.
func inputOf(w *world.World) estimate.Input {
	in := estimate.Input{Rates: w.Rates, Reports: w.Reports, Day: w.Day}
	for _, i := range w.Items {
		in.Items = append(in.Items, estimate.Item{ID: i.ID, Category: i.Category, Unit: i.Unit, ListPack: i.ListPack})
	}
	for _, p := range w.Ports {
		in.Ports = append(in.Ports, estimate.Port{ID: p.ID, Country: p.Country, South: p.Latitude < 0})
	}
	return in
}

// costs plans with each set of prices, and gives what the plans cost at the
// true ones.
func (c *liarsCmd) costs(ctx context.Context, m markets, b plan.Brief) (out [4]float64, err error) {
	truth := m.priced(b, 0)
	for k := range out {
		p, err := plan.Solve(ctx, m.priced(b, k), plan.Budget{Work: c.Work}, nil)
		if err != nil {
			return out, err
		}
		out[k] = p.Cost.Total - p.Cost.Goods + goods(truth, p)
	}
	return out, nil
}

// priced gives a brief the prices of the markets: every item keeps its own
// level and what its packs cost against each other.
func (m *markets) priced(b plan.Brief, which int) plan.Brief {
	needs := make([]plan.Need, len(b.Needs))
	number := 0
	for n, need := range b.Needs {
		needs[n] = need
		needs[n].Items = make([]plan.Item, len(need.Items))
		for i, it := range need.Items {
			at := func(stop int) float64 { return m.log[which][stop*(m.ports/len(b.Stops))*m.items+number%m.items] }
			needs[n].Items[i] = it
			needs[n].Items[i].Offers = m.offers(it.Offers, at, m.level(number%m.items))
			number++
		}
	}
	b.Needs = needs
	return b
}

// level is an item's mean log price, the true one: what the estimates get wrong
// of it stays wrong.
func (m *markets) level(item int) float64 {
	sum := 0.0
	for p := range m.ports {
		sum += m.log[0][p*m.items+item] / float64(m.ports)
	}
	return sum
}

func (m *markets) offers(offers []plan.Offer, at func(stop int) float64, level float64) []plan.Offer {
	usual := map[int]float64{} // log price of the first pack per unit, by stop
	mean := 0.0
	for _, o := range offers {
		if _, seen := usual[o.Stop]; !seen {
			usual[o.Stop] = math.Log(o.Price / o.Pack)
			mean += usual[o.Stop]
		}
	}
	mean /= float64(len(usual))
	out := make([]plan.Offer, len(offers))
	for k, o := range offers {
		out[k] = o
		out[k].Price = o.Price * math.Exp(mean-usual[o.Stop]+at(o.Stop)-level)
	}
	return out
}

// goods is what a plan's purchases cost at the prices of a brief.
func goods(b plan.Brief, p plan.Plan) float64 {
	type offer struct {
		item string
		stop int
		pack float64
	}
	price := map[offer]float64{}
	for _, n := range b.Needs {
		for _, i := range n.Items {
			for _, o := range i.Offers {
				price[offer{i.ID, o.Stop, o.Pack}] = o.Price
			}
		}
	}
	sum := 0.0
	for _, q := range p.Purchases {
		sum += float64(q.Packs) * price[offer{q.Item, q.Stop, q.Pack}]
	}
	return sum
}
