package usage

import (
	"fmt"
	"math"

	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
)

// Appetite is how much a crew eats against the list, over all food it was
// found to use: the credibility estimate of Bühlmann and Straub (H. Bühlmann,
// E. Straub, Glaubwürdigkeit für Schadensätze, Mitteilungen der VSVM 70, 1970).
type Appetite struct {
	Factor float64 `json:"factor"` // times what the list says; 1 before anything was counted
	SD     float64 `json:"sd"`
	Trust  float64 `json:"trust"` // z = E/(E+k), 0–1
	Needs  int     `json:"needs"` // counted
}

// Words say it, empty when nothing was counted.
func (a Appetite) Words() string {
	if a.Needs == 0 {
		return ""
	}
	return fmt.Sprintf("All food together: we eat %.2f ± %.2f times what the list says (%s counted, %.0f %% of it by our own counts); "+
		"food that was not counted yet is reckoned so", a.Factor, a.SD, things(a.Needs), 100*a.Trust)
}

func things(n int) string {
	if n == 1 {
		return "one thing"
	}
	return fmt.Sprintf("%d things", n)
}

// appetiteSpread is how much crews differ in what they eat of everything, as a
// standard deviation over the mean: judgement of the trade, no source. What
// else crews differ by is the taste for one thing.
const appetiteSpread = 0.2

// taste is what the counts say of one need against its list, apart from what
// the list says itself.
type taste struct {
	group  string
	ratio  float64
	weight float64 // 1 / variance of the ratio around the crew's appetite
}

// AppetiteOf is the appetite behind all that was counted of one crew.
func AppetiteOf(cat *item.Catalogue, records []Record, today calendar.Day) Appetite {
	return appetite(tastesOf(cat, learnAlone(cat, tripsOf(records, today))), "")
}

// tastesOf takes the list out of each belief: what is left is what the counts
// said. A thing the crew hardly uses says nothing of its appetite.
func tastesOf(cat *item.Catalogue, alone Rates) []taste {
	var out []taste
	for _, n := range cat.Needs {
		b, ok := alone[n.ID]
		if !ok || b.Trips == 0 || n.Appetite != item.Food || n.PerPersonDay <= 0 {
			continue
		}
		cv := NeedPrior(cat, n).Of[0].cv()
		mean, sd := b.Mean()/n.PerPersonDay, b.SD()/n.PerPersonDay
		said := 1/(sd*sd) - 1/(cv*cv)
		if said <= 0 {
			continue
		}
		used := 1.0
		if len(b.Kinds) > 1 {
			used -= b.Kinds[1]
		}
		out = append(out, taste{n.Group, (mean/(sd*sd) - 1/(cv*cv)) / said, used / (ownSpread(cv) + 1/said)})
	}
	return out
}

// ownSpread is the variance of crews in one need beside their appetite.
func ownSpread(cv float64) float64 {
	return math.Max(cv*cv-appetiteSpread*appetiteSpread, cv*cv/4)
}

// appetite leaves one group of needs out: its own counts are not heard twice,
// and who eats little rice may eat the more pasta.
func appetite(tastes []taste, without string) Appetite {
	a := Appetite{Factor: 1, SD: appetiteSpread}
	exposure, sum := 0.0, 0.0
	for _, t := range tastes {
		if t.group != without {
			exposure += t.weight
			sum += t.weight * t.ratio
			a.Needs++
		}
	}
	if exposure <= 0 {
		return a
	}
	a.Trust = Credibility(exposure, 1/(appetiteSpread*appetiteSpread))
	a.Factor = math.Max(0.3, 1+a.Trust*(sum/exposure-1))
	a.SD = appetiteSpread * math.Sqrt(1-a.Trust)
	return a
}

// Credibility is the weight of what was seen against what is usual: z = E/(E+k),
// k the variance within over the variance between.
func Credibility(exposure, k float64) float64 { return exposure / (exposure + k) }

func (c Component) cv() float64 { return 1 / math.Sqrt(c.Shape) }

// sharing is the prior of a need for a crew of that appetite: its mean moves
// with it, and crews of one appetite differ less.
func (p Prior) sharing(a Appetite) Prior {
	out := p
	out.Of = nil
	for k, c := range p.Of {
		g := c.Gamma
		if k == 0 {
			cv := math.Sqrt(ownSpread(c.cv())+a.SD*a.SD) / a.Factor
			g = spreadGamma(g.Mean()*a.Factor, cv)
		}
		out.Of = append(out.Of, Component{c.Weight, g, c.Skewed})
	}
	return out
}
