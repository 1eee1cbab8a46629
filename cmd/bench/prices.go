package main

import (
	"context"
	"fmt"
	"math"

	"hardtack/pricing"
	"hardtack/pricing/estimate"
	"hardtack/pricing/world"
)

type pricesCmd struct {
	Reports []int  `default:"3000,10000,30000,100000,300000" help:"Numbers of reports, on as many more ports as the root of it."`
	Times   int    `default:"200" help:"Questions of 60 items at 40 ports that are timed."`
	SVG     string `help:"Draw both lines into this file." placeholder:"FILE"`
}

// Run prints the processor time of a fit and of a question against the number
// of reports, and the exponents.
func (c *pricesCmd) Run(ctx context.Context) error {
	fmt.Println("| reports | ports | pairs with reports | fit, s | 60 items × 40 ports, ms |\n|---|---|---|---|---|")
	var x, fit, ask []float64
	for _, n := range c.Reports {
		w := world.Invent(grown(n))
		start := clock()
		m := estimate.Fit(inputOf(w))
		fitted := clock() - start
		ports, items := named(w, 40, 60)
		start = clock()
		for range c.Times {
			m.Table(ports, items, w.Day)
		}
		asked := (clock() - start).Seconds() / float64(c.Times)
		fmt.Printf("| %d | %d | %d | %.2f | %.2f |\n", len(w.Reports), len(w.Ports), seen(w), fitted.Seconds(), 1000*asked)
		x, fit, ask = append(x, float64(len(w.Reports))), append(fit, fitted.Seconds()), append(ask, asked)
		if ctx.Err() != nil {
			return ctx.Err()
		}
	}
	fmt.Printf("\nexponent of the fit against reports: %.2f, of a question: %.2f\n", exponent(x, fit), exponent(x, ask))
	if c.SVG == "" {
		return nil
	}
	return draw(c.SVG, "reports", line{"fit", x, fit}, line{"60 items × 40 ports", x, ask})
}

// grown is a world of n reports: three hundred items at as many ports as keep
// the share of pairs with reports about the same for large n.
func grown(n int) world.Spec {
	s := world.Usual(1, world.Kinds()["plain"])
	s.Reports, s.Reporters = n, max(1, n/60)
	s.Ports = max(20, int(80*math.Sqrt(float64(n)/15_000)))
	s.Countries = min(s.Ports/3, 100)
	return s
}

func named(w *world.World, ports, items int) (p []pricing.PortID, i []pricing.ItemID) {
	for k := range ports {
		p = append(p, w.Ports[k%len(w.Ports)].ID)
	}
	for k := range items {
		i = append(i, w.Items[k%len(w.Items)].ID)
	}
	return p, i
}

func seen(w *world.World) (n int) {
	for _, p := range w.Pairs {
		if p.Seen {
			n++
		}
	}
	return n
}
