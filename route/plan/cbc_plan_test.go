package plan_test

import (
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

// cbcSolution is the value of every column that is not 0.
func cbcSolution(t testing.TB, b plan.Brief) map[string]float64 {
	t.Helper()
	model := writeModel(t, b, asLP)
	run(t, "cbc", model, "ratio", "0", "allow", "1e-9", "solve", "solu", model+".sol")
	text, err := os.ReadFile(model + ".sol")
	require.NoError(t, err)
	lines := strings.Split(string(text), "\n")
	require.Contains(t, lines[0], "Optimal")
	values := map[string]float64{}
	for _, line := range lines[1:] {
		if f := strings.Fields(line); len(f) == 4 {
			x, err := strconv.ParseFloat(f[2], 64)
			require.NoError(t, err)
			values[f[1]] = max(x, 0)
		}
	}
	return values
}

// reader turns columns into purchases, draws and discards.
type reader struct {
	brief  plan.Brief
	values map[string]float64
	plan   plan.Plan
}

// share is what is left of a lot in one purchase; stowing and eating go
// through a lot's shares in order.
type share struct {
	lot  string
	left float64
}

func planOf(b plan.Brief, values map[string]float64) plan.Plan {
	r := &reader{brief: b, values: values, plan: plan.Plan{Version: 1, Currency: b.Currency}}
	i := 0
	for _, n := range b.Needs {
		for _, it := range n.Items {
			for a, l := range it.Aboard {
				shares := []share{{fmt.Sprintf("aboard %d", a), l.Amount}}
				r.follow(n.ID, it.ID, l.Space, fmt.Sprintf("i%d_a%d", i, a), 0, shares)
			}
			for s := range b.Stops {
				r.bought(n.ID, it, i, s)
			}
			i++
		}
	}
	return r.plan
}

func (r *reader) bought(need string, it plan.Item, i, s int) {
	port := r.values[fmt.Sprintf("port_i%d_s%d", i, s)]
	first := len(r.plan.Purchases)
	var room []float64
	for o, offer := range it.Offers {
		packs := int(math.Round(r.values[fmt.Sprintf("buy_i%d_s%d_o%d", i, s, o)]))
		if packs == 0 {
			continue
		}
		bought := float64(packs) * offer.Pack
		eaten := min(port, bought)
		port -= eaten
		room = append(room, bought-eaten)
		r.plan.Purchases = append(r.plan.Purchases, plan.Purchase{ID: fmt.Sprintf("i%d s%d o%d", i, s, o), Stop: s,
			Need: need, Item: it.ID, Pack: offer.Pack, Packs: packs, Price: offer.Price, EatenInPort: eaten})
	}
	for k, keep := range it.Keeps {
		lot := fmt.Sprintf("i%d_s%d_k%d", i, s, k)
		away := r.values[fmt.Sprintf("held_%s_d%d", lot, s)]
		var shares []share
		for j := range room {
			x := min(away, room[j])
			away, room[j] = away-x, room[j]-x
			if p := &r.plan.Purchases[first+j]; x > 0 {
				p.Stowed = append(p.Stowed, plan.Stowed{Space: keep.Space, Amount: x})
				shares = append(shares, share{p.ID, x})
			}
		}
		r.follow(need, it.ID, keep.Space, lot, s+1, shares)
	}
}

// follow eats a lot down stop by stop, and leaves behind what the holding
// column no longer has.
func (r *reader) follow(need, item, space, lot string, from int, shares []share) {
	for d := from; d < len(r.brief.Stops); d++ {
		for _, period := range []string{fmt.Sprintf("leg %d", d-1), fmt.Sprintf("stay %d", d)} {
			tag := strings.NewReplacer("leg ", "l", "stay ", "y").Replace(period)
			take(shares, r.values["draw_"+lot+"_"+tag], func(id string, x float64) {
				r.plan.Draws = append(r.plan.Draws, plan.Draw{Need: need, Item: item, Lot: id, Space: space, Period: period, Amount: x})
			})
		}
		left := 0.0
		for _, s := range shares {
			left += s.left
		}
		take(shares, left-r.values[fmt.Sprintf("held_%s_d%d", lot, d)], func(id string, x float64) {
			r.plan.Discards = append(r.plan.Discards, plan.Discard{Item: item, Lot: id, Space: space, Stop: d, Amount: x})
		})
	}
}

func take(shares []share, amount float64, each func(lot string, x float64)) {
	for i := range shares {
		if x := min(amount, shares[i].left); x > 0 {
			each(shares[i].lot, x)
			amount, shares[i].left = amount-x, shares[i].left-x
		}
	}
}

// The exported model promises no more than the contract gives: CBC's optimum
// is a plan that keeps every rule, and Verify reckons the same cost.
func TestExportedOptimumIsAPlan(t *testing.T) {
	t.Parallel()
	briefs := map[string]plan.Brief{"by hand": handBrief()}
	for name := range provenTiny {
		briefs[name] = readBrief(t, name)
	}
	for seed := range uint64(8) {
		briefs[fmt.Sprint("seed ", seed)] = tinyBrief(seed)
	}
	for name, b := range briefs {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			values := cbcSolution(t, b)
			cost, broken := plan.Reckon(b, planOf(b, values))
			require.Empty(t, broken)
			require.InEpsilon(t, objective(b, values), cost.Total, 1e-5)
		})
	}
}

// objective adds up the contract's cost from the columns alone.
func objective(b plan.Brief, values map[string]float64) float64 {
	total, i := 0.0, 0
	for s, stop := range b.Stops {
		total += stop.TripCost * values[fmt.Sprintf("trips_s%d", s)]
	}
	for n, need := range b.Needs {
		for name, x := range values {
			if strings.HasPrefix(name, fmt.Sprintf("unmet_n%d_", n)) {
				total += x * need.MissingCost
			}
			if strings.HasPrefix(name, fmt.Sprintf("lack_n%d_", n)) {
				total += x * need.ReserveMissingCost
			}
		}
		for _, it := range need.Items {
			total += itemCost(it, i, values)
			i++
		}
	}
	return total
}

func itemCost(it plan.Item, i int, values map[string]float64) float64 {
	total := 0.0
	for name, x := range values {
		switch {
		case strings.HasPrefix(name, fmt.Sprintf("line_i%d_", i)):
			total += x * it.LineCost
		case strings.HasPrefix(name, fmt.Sprintf("port_i%d_", i)), strings.HasPrefix(name, fmt.Sprintf("draw_i%d_", i)):
			total += x * it.TasteCost
		}
	}
	for o, offer := range it.Offers {
		total += offer.Price * values[fmt.Sprintf("buy_i%d_s%d_o%d", i, offer.Stop, o)]
	}
	return total
}
