package api_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/route/plan"
)

// A first good plan is kept while the search goes on. Its end takes its place,
// but not when somebody shops by it, or planned anew, in between.
func TestAPlanIsKeptEarly(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name    string
		between func(t *testing.T, s *api.Service, first api.Planned)
		stays   bool
	}{
		{"nothing else happened", func(*testing.T, *api.Service, api.Planned) {}, false},
		{"a list was begun", func(t *testing.T, s *api.Service, first api.Planned) {
			_, err := s.ChangeDraft(ctx, first, 0, func(d *api.Draft) { d.Set(api.DraftLine{Item: "rice_white", Got: true}) })
			require.NoError(t, err)
		}, true},
		{"it was planned anew", func(t *testing.T, s *api.Service, _ api.Planned) {
			_, err := s.Plan(ctx, "hop", api.PlanOptions{Budget: plan.Budget{Work: 1}})
			require.NoError(t, err)
		}, true},
		{"the voyage was changed", func(t *testing.T, s *api.Service, _ api.Planned) {
			v, err := s.Voyage(ctx, "hop")
			require.NoError(t, err)
			v.Value.Name = "Another name"
			_, err = s.PutVoyage(ctx, v.Value, v.Revision)
			require.NoError(t, err)
		}, true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			s := islands(t)
			stop := make(chan struct{})
			before := int64(0) // revision of the plan there is when the search ends
			last, err := s.Plan(ctx, "hop", api.PlanOptions{Budget: plan.Budget{Work: 1 << 40}, Early: true, Stop: stop, Begun: func(first api.Planned) {
				defer close(stop)
				require.NoError(t, plan.Verify(first.Brief, first.Plan))
				require.Positive(t, first.Saves(), "cheaper than any plain habit")
				kept, err := s.LastPlan(ctx, "hop")
				require.NoError(t, err)
				require.Equal(t, first.Plan, kept.Value.Plan)
				require.Equal(t, api.Search{Going: true, At: kept.Revision}, s.Search("hop"))
				tt.between(t, s, first)
				kept, err = s.LastPlan(ctx, "hop")
				require.NoError(t, err)
				before = kept.Revision
			}})
			kept, err2 := s.LastPlan(ctx, "hop")
			require.NoError(t, err2)
			x := s.Search("hop")
			require.False(t, x.Going)
			require.GreaterOrEqual(t, x.Saves, 0.0)
			require.Equal(t, tt.stays, x.Held)
			if tt.stays {
				require.ErrorIs(t, err, api.ErrStale)
				require.Equal(t, before, kept.Revision)
				return
			}
			require.NoError(t, err)
			require.Equal(t, last.Revision, kept.Revision)
			require.Equal(t, x.At, kept.Revision)
		})
	}
}

// Whoever leaves leaves the early plan; where the search is over before any
// plan is good, its end alone is kept.
func TestEarlyOrNotAtAll(t *testing.T) {
	t.Parallel()
	s := islands(t)
	gone, leave := context.WithCancel(ctx)
	_, err := s.Plan(gone, "hop", api.PlanOptions{Budget: plan.Budget{Work: 1 << 40}, Early: true, Begun: func(api.Planned) { leave() }})
	require.ErrorIs(t, err, context.Canceled)
	require.Zero(t, s.Search("hop"))
	early, err := s.LastPlan(ctx, "hop")
	require.NoError(t, err)
	require.NotZero(t, early.Value.Plan)

	stop := make(chan struct{})
	close(stop)
	last, err := s.Plan(ctx, "hop", api.PlanOptions{Early: true, Stop: stop})
	require.NoError(t, err)
	kept, err := s.LastPlan(ctx, "hop")
	require.NoError(t, err)
	require.Equal(t, last.Revision, kept.Revision)
	require.Greater(t, kept.Revision, early.Revision)
}
