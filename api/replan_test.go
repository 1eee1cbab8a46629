package api_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/route"
	"hardtack/route/plan"
	"hardtack/route/vessel"
)

const (
	islandBoat = `{"id":"dory","name":"Dory (invented)","water_tank_l":300,"cylinders":[{"kg":6,"full":1}],
"spaces":[{"id":"port","kind":"dry","litres":400},{"id":"bilge","kind":"cool","litres":120},{"id":"box","kind":"fridge","litres":60}]}`
	islandCrew = `{"id":"us","persons":[{"id":"ada","name":"Ada","age":41},{"id":"bo","name":"Bo","age":39}]}`
	islandHops = `{"id":"hop","name":"A hop","home":"EUR","stops":[
{"port":"x-funchal","arrive":"2026-09-10","depart":"2026-09-14"},{"port":"ESLPA","arrive":"2026-09-17","depart":"2026-09-24"},
{"port":"CVMIN","arrive":"2026-10-01","depart":"2026-10-05"},{"port":"CVRAI","depart":"2026-10-08"}]}`
)

func decoded[T any](t *testing.T, text string) T {
	t.Helper()
	var v T
	require.NoError(t, json.Unmarshal([]byte(text), &v))
	return v
}

// islands is a boat, a crew and a voyage with a plan.
func islands(t *testing.T) *api.Service {
	t.Helper()
	s, _ := service(t, demoDay)
	_, err := s.PutVessel(ctx, decoded[vessel.Vessel](t, islandBoat), api.AnyRevision)
	require.NoError(t, err)
	_, err = s.PutCrew(ctx, decoded[vessel.Crew](t, islandCrew), api.AnyRevision)
	require.NoError(t, err)
	_, err = s.PutVoyage(ctx, decoded[route.Voyage](t, islandHops), api.AnyRevision)
	require.NoError(t, err)
	_, err = s.Plan(ctx, "hop", api.PlanOptions{Budget: plan.Budget{Work: 20_000}})
	require.NoError(t, err)
	return s
}

// Every edit under way gives a plan that keeps the rules, begins on the day
// asked for, and says what changes; nothing is kept before it is accepted.
func TestEditsUnderWay(t *testing.T) {
	t.Parallel()
	s := islands(t)
	before, err := s.LastPlan(ctx, "hop")
	require.NoError(t, err)
	o := api.ReplanOptions{Day: day("2026-09-17"), AsPlanned: true, Budget: plan.Budget{Work: 5_000}}
	replan := func(o api.ReplanOptions) api.Replanned {
		t.Helper()
		r, err := s.Replan(ctx, "hop", o)
		require.NoError(t, err)
		p := r.Planned
		require.NoError(t, plan.Verify(p.Brief, p.Plan))
		require.Equal(t, o.Day, p.Notes.Start)
		require.NotEmpty(t, r.Difference.Words)
		require.LessOrEqual(t, p.Plan.Cost.Total, r.Difference.Best*1.005+1e-6)
		return r
	}
	same := replan(o)
	require.Len(t, same.Planned.Brief.Stops, 3)
	require.NotEmpty(t, aboardOf(same.Planned.Brief), "what was bought at Funchal")

	t.Run("a guest joins", func(t *testing.T) {
		c := decoded[vessel.Crew](t, islandCrew)
		c.Persons = append(c.Persons, vessel.Person{ID: "cy", Name: "Cy", Age: 30, Aboard: []vessel.Span{{From: o.Day}}})
		_, err := s.PutCrew(ctx, c, api.AnyRevision)
		require.NoError(t, err)
		r := replan(o)
		require.Greater(t, r.Planned.Plan.Cost.Goods, same.Planned.Plan.Cost.Goods)
		require.NotEmpty(t, r.Difference.Changes)
		_, err = s.PutCrew(ctx, decoded[vessel.Crew](t, islandCrew), api.AnyRevision)
		require.NoError(t, err)
	})
	t.Run("a date moves and a stop is dropped", func(t *testing.T) {
		v := decoded[route.Voyage](t, islandHops)
		v.Stops = append(v.Stops[:2:2], v.Stops[3])
		v.Stops[1].Depart, v.Stops[2].Depart = day("2026-09-27"), day("2026-10-12")
		_, err := s.PutVoyage(ctx, v, api.AnyRevision)
		require.NoError(t, err)
		r := replan(o)
		require.Len(t, r.Planned.Brief.Stops, 2)
		require.NotEmpty(t, r.Difference.Gone, "the shopping at Mindelo")
		_, err = s.PutVoyage(ctx, decoded[route.Voyage](t, islandHops), api.AnyRevision)
		require.NoError(t, err)
	})
	t.Run("the fridge fails", func(t *testing.T) {
		lost := o
		lost.Lost = []string{"fridge"}
		r := replan(lost)
		for _, x := range r.Planned.Plan.Purchases {
			for _, st := range x.Stowed {
				require.NotEqual(t, "fridge", st.Space)
			}
		}
	})
	t.Run("the shopping is done", func(t *testing.T) {
		done := o
		done.Bought = true
		for _, x := range replan(done).Planned.Plan.Purchases {
			require.NotZero(t, x.Stop, "what is bought stays bought and is not bought again")
		}
	})
	t.Run("in the middle of a stay, its shopping done", func(t *testing.T) {
		done := o
		done.Day, done.Bought = day("2026-09-20"), true
		r := replan(done)
		old, now := before.Value.Plan, r.Planned.Plan
		require.Greater(t, eatenIn(old, 1), 0.0, "something is bought to be eaten in port day by day")
		require.LessOrEqual(t, now.Cost.Missing, old.Cost.Missing+0.01*old.Cost.Total, "what was bought for it feeds the rest of the stay")
		for _, c := range r.Difference.Changes {
			require.NotZero(t, c.Stop)
		}
	})
	t.Run("at sea", func(t *testing.T) {
		sailed := o
		sailed.Day = day("2026-09-26")
		for _, c := range replan(sailed).Difference.Changes {
			require.NotEqual(t, "ESLPA", c.Port, "what was bought where we sailed from is no business of the lists ahead")
		}
	})
	t.Run("at sea, and a count finds the lockers empty", func(t *testing.T) {
		counted := o
		counted.Day, counted.AsPlanned = day("2026-09-26"), false
		r := replan(counted)
		require.Empty(t, aboardOf(r.Planned.Brief))
		require.NotEmpty(t, r.Planned.Plan.Missing, "nothing aboard and no shop at sea")
	})

	kept, err := s.LastPlan(ctx, "hop")
	require.NoError(t, err)
	require.Equal(t, before.Revision, kept.Revision)
	o.Accept = true
	r := replan(o)
	kept, err = s.LastPlan(ctx, "hop")
	require.NoError(t, err)
	require.Equal(t, r.Planned.Plan, kept.Value.Plan)
}

func aboardOf(b plan.Brief) (lots []plan.Lot) {
	for _, n := range b.Needs {
		for _, it := range n.Items {
			for _, l := range it.Aboard {
				if it.ID != "water_tank" && l.Expires < 36500 {
					lots = append(lots, l)
				}
			}
		}
	}
	return lots
}

func eatenIn(p plan.Plan, stop int) (amount float64) {
	for _, x := range p.Purchases {
		if x.Stop == stop {
			amount += x.EatenInPort
		}
	}
	return amount
}

func TestReplanRefuses(t *testing.T) {
	t.Parallel()
	s := islands(t)
	for name, o := range map[string]api.ReplanOptions{
		"a day before the start": {Day: day("2026-09-01")},
		"a day after the end":    {Day: day("2027-09-01")},
		"a space that is none":   {Day: day("2026-09-12"), Lost: []string{"attic"}},
	} {
		_, err := s.Replan(ctx, "hop", o)
		require.ErrorIs(t, err, api.ErrInvalid, name)
	}
	_, err := s.Replan(ctx, "none", api.ReplanOptions{})
	require.ErrorIs(t, err, api.ErrNotFound)
	_, err = s.PutVoyage(ctx, func() route.Voyage {
		v := decoded[route.Voyage](t, islandHops)
		v.ID = "other"
		return v
	}(), api.AnyRevision)
	require.NoError(t, err)
	_, err = s.Replan(ctx, "other", api.ReplanOptions{})
	require.ErrorIs(t, err, api.ErrNotFound, "there is no plan to go by")
}

func TestRiskOfAVoyage(t *testing.T) {
	t.Parallel()
	s := islands(t)
	r, err := s.Risk(ctx, "hop", api.RiskOptions{Walks: 100, Remedies: 1})
	require.NoError(t, err)
	p, err := s.LastPlan(ctx, "hop")
	require.NoError(t, err)
	require.Equal(t, 100, r.Report.Walks)
	require.Len(t, r.Report.Needs, len(p.Value.Brief.Needs))
	require.LessOrEqual(t, r.Report.Spent.P10, r.Report.Spent.P90)
	again, err := s.Risk(ctx, "hop", api.RiskOptions{Walks: 100, Remedies: 1})
	require.NoError(t, err)
	require.Equal(t, r, again)
	for name, o := range map[string]api.RiskOptions{
		"too many walks": {Walks: 1e6}, "fewer than none": {Walks: -1}, "too many needs": {Remedies: 99}, "certainty": {Chances: []float64{1}},
	} {
		_, err := s.Risk(ctx, "hop", o)
		require.ErrorIs(t, err, api.ErrInvalid, name)
	}
	_, err = s.Risk(ctx, "none", api.RiskOptions{})
	require.ErrorIs(t, err, api.ErrNotFound)

	careful, err := s.Plan(ctx, "hop", api.PlanOptions{Budget: plan.Budget{Work: 20_000}, Careful: true})
	require.NoError(t, err)
	c, err := s.Risk(ctx, "hop", api.RiskOptions{Walks: 100})
	require.NoError(t, err)
	require.NoError(t, plan.Verify(careful.Value.Brief, careful.Value.Plan))
	if careful.Value.Plan.Cost != p.Value.Plan.Cost { // else caution does not pay
		require.LessOrEqual(t, c.Report.Total.Mean, r.Report.Total.Mean+2*(c.Report.Total.Error+r.Report.Total.Error), "where it is kept it pays")
	}
}
