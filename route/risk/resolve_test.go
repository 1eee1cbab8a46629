package risk

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
	"hardtack/route/underway"
	"hardtack/testdata/plantest"
)

// resolver shops by planning the whole rest of the season anew at every stop,
// with what is aboard and on the shelf, instead of by the quick rules.
type resolver struct {
	*walker
	t      *testing.T
	brief  plan.Brief
	doubt  Doubt
	policy Policy
	work   int
}

// walk is walker.walk with the plan made anew.
func (r *resolver) walk(i int) outcome {
	w := r.walker
	w.begin(i)
	now := 0.0
	for s := range w.stops {
		w.expect(s, now)
		w.come(s)
		w.counter.open(w, s)
		w.stay(s)
		if s < len(w.stops)-1 {
			w.clear(s)
			r.stock(s)
		}
		w.counter.pay(w)
		if s < len(w.stops)-1 {
			now = w.leg(s)
		}
	}
	return w.out
}

func (r *resolver) stock(s int) {
	w, c := r.walker, &r.walker.counter
	b := r.brief
	b.Stops = append([]plan.Stop{}, b.Stops...)
	for j := range b.Stops {
		b.Stops[j].Arrive, b.Stops[j].Depart = w.arrive[j], w.depart[j]
	}
	b.Needs = append([]plan.Need{}, b.Needs...)
	var aboard []underway.Held
	for n := range b.Needs {
		need := &b.Needs[n]
		need.Items = append([]plan.Item{}, need.Items...)
		for i := range need.Items {
			it := &need.Items[i]
			var offers []plan.Offer
			for _, o := range it.Offers {
				if o.Stop == s {
					if c.baskets[n][i].factor == 0 {
						continue
					}
					o.Price *= c.baskets[n][i].factor
				}
				offers = append(offers, o)
			}
			it.Offers = offers
		}
		for _, l := range w.lots[n] {
			if l.left > speck {
				aboard = append(aboard, underway.Held{Item: need.Items[l.item].ID, Space: b.Stowage.Spaces[l.space].ID, Amount: l.left, Expires: l.expires})
			}
		}
	}
	rest, _, err := underway.Rest(b, underway.Now{Day: w.depart[s]}, aboard)
	require.NoError(r.t, err)
	if r.policy != Plain {
		rest, err = Cautious(rest, r.doubt.from(s))
		require.NoError(r.t, err)
	}
	p, err := plan.Solve(context.Background(), rest, plan.Budget{Work: r.work}, nil)
	require.NoError(r.t, err)
	r.take(p)
}

// take puts what the plan carries away from its first stop into the baskets.
func (r *resolver) take(p plan.Plan) {
	c := &r.walker.counter
	for _, x := range p.Purchases {
		if x.Stop != 0 {
			continue
		}
		for n := range r.brief.Needs {
			for i, it := range r.brief.Needs[n].Items {
				if it.ID != x.Item {
					continue
				}
				b := &c.baskets[n][i]
				for _, st := range x.Stowed {
					for space, sp := range r.brief.Stowage.Spaces {
						if sp.ID == st.Space {
							b.stowed = append(b.stowed, planned{i, space, st.Amount})
							b.carried += st.Amount
						}
					}
				}
			}
		}
	}
}

// from is the doubt about the season from a stop on.
func (d Doubt) from(s int) Doubt {
	out := Doubt{Legs: d.Legs[s:], Supply: d.Supply[s:]}
	for _, n := range d.Needs {
		items := n.Items
		n.Items = nil
		for _, it := range items {
			n.Items = append(n.Items, ItemDoubt{it.Life, it.Stops[s:]})
		}
		out.Needs = append(out.Needs, n)
	}
	return out
}

// The quick rules cost little more than planning the whole rest anew at every
// stop: on the same few seasons, within a tenth over all.
func TestQuickRulesAgainstPlanningAnew(t *testing.T) {
	t.Parallel()
	fast, full := 0.0, 0.0
	for _, name := range []string{"small-101", "small-103", "small-104"} {
		b := plantest.Instance(t, name)
		for _, policy := range []Policy{Plain, Careful} {
			x, y := sideBySide(t, b, policy, 8, 3000)
			t.Logf("%s, policy %d: quick rules %.0f, planned anew %.0f, %+.1f %%", name, policy, x, y, 100*(x/y-1))
			fast, full = fast+x, full+y
		}
	}
	t.Logf("over all %+.1f %%", 100*(fast/full-1))
	require.LessOrEqual(t, fast, 1.1*full)
}

// sideBySide is the mean cost of a few seasons by the quick rules, and planned
// anew at every stop.
func sideBySide(t *testing.T, b plan.Brief, policy Policy, walks, work int) (fast, full float64) {
	t.Helper()
	d, p := Usual(b), plantest.Solved(t, b, 50_000)
	if policy == Careful {
		var err error
		p, err = Plan(context.Background(), b, d, plan.Budget{Work: 50_000}, 0, nil)
		require.NoError(t, err)
	}
	f, err := newField(b, d, p, policy)
	require.NoError(t, err)
	quick, r := newWalker(f, 0, nil), &resolver{newWalker(f, 0, nil), t, b, d, policy, work}
	for i := range walks {
		x, y := quick.walk(i), r.walk(i)
		fast, full = fast+x.total()/float64(walks), full+y.total()/float64(walks)
	}
	return fast, full
}
