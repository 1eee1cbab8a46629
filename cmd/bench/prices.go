package main

import (
	"context"
	"fmt"
	"math"
	"os"
	"strings"

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
		x, fit, ask = append(x, math.Log(float64(len(w.Reports)))), append(fit, math.Log(fitted.Seconds())), append(ask, math.Log(asked))
		if ctx.Err() != nil {
			return ctx.Err()
		}
	}
	fmt.Printf("\nexponent of the fit against reports: %.2f, of a question: %.2f\n", slope(x, fit), slope(x, ask))
	if c.SVG == "" {
		return nil
	}
	return os.WriteFile(c.SVG, []byte(plot(x, line{"fit", fit}, line{"60 items × 40 ports", ask})), 0o644)
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

// line is log seconds by name.
type line struct {
	name string
	y    []float64
}

// plot draws log seconds against log reports, each line with the one of
// exponent 1 through its first point.
func plot(x []float64, lines ...line) string {
	const width, height, edge = 640, 400, 50
	low, high := math.Inf(1), math.Inf(-1)
	for _, l := range lines {
		for k, y := range l.y {
			one := l.y[0] + x[k] - x[0]
			low, high = min(low, y, one), max(high, y, one)
		}
	}
	at := func(x0, y0 float64) string {
		across := (x0 - x[0]) / (x[len(x)-1] - x[0])
		return fmt.Sprintf("%.1f,%.1f", edge+across*(width-2*edge), height-edge-(y0-low)/(high-low)*(height-2*edge))
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" font-family="sans-serif" font-size="12">`+"\n", width, height)
	for k, l := range lines {
		var points []string
		for j, y := range l.y {
			points = append(points, at(x[j], y))
			fmt.Fprintf(&b, `<text x="%s">%.2g s</text>`+"\n", strings.Replace(at(x[j], y), ",", `" y="`, 1), math.Exp(y))
		}
		end := len(x) - 1
		fmt.Fprintf(&b, `<polyline fill="none" stroke="%s" stroke-width="2" points="%s"><title>%s</title></polyline>`+"\n",
			[]string{"#035", "#a40"}[k%2], strings.Join(points, " "), l.name)
		fmt.Fprintf(&b, `<polyline fill="none" stroke="#999" stroke-dasharray="4 3" points="%s %s"><title>exponent 1</title></polyline>`+"\n",
			at(x[0], l.y[0]), at(x[end], l.y[0]+x[end]-x[0]))
		fmt.Fprintf(&b, `<text x="%s" dy="-14">%s</text>`+"\n", strings.Replace(at(x[0], l.y[0]), ",", `" y="`, 1), l.name)
	}
	for _, v := range x {
		fmt.Fprintf(&b, `<text x="%s" dy="%d" text-anchor="middle">%.0f</text>`+"\n", strings.Replace(at(v, low), ",", `" y="`, 1), edge-20, math.Exp(v))
	}
	fmt.Fprintf(&b, `<text x="%d" y="%d" text-anchor="middle">reports</text></svg>`+"\n", width/2, height-10)
	return b.String()
}
