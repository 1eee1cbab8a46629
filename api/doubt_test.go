package api_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/route/logbook"
)

// Passages written into the log make the doubt about those to come: a slow boat
// runs short oftener by the plan it has.
func TestThePassagesOfTheLogAreLearned(t *testing.T) {
	t.Parallel()
	s := islands(t)
	o := api.RiskOptions{Walks: 300}
	before, err := s.Risk(ctx, "hop", o)
	require.NoError(t, err)
	for _, e := range []logbook.Entry{
		{Day: day("2026-09-05"), Kind: logbook.Sailed, Amount: 5, Place: "ESLPA"},
		{Day: day("2026-09-05"), Kind: logbook.Sailed, Amount: 14, Place: "Mindelo"},
		{Day: day("2026-09-05"), Kind: logbook.Sailed, Amount: 14, Place: "Atlantis"}, // no plan foresaw it
	} {
		_, err := s.AddLog(ctx, "dory", e)
		require.NoError(t, err)
	}
	after, err := s.Risk(ctx, "hop", o)
	require.NoError(t, err)
	require.Greater(t, after.Report.Shortage.Mean, before.Report.Shortage.Mean)
	_, err = s.AddLog(ctx, "dory", logbook.Entry{Day: day("2026-09-05"), Kind: logbook.Sailed, Place: "ESLPA"})
	require.ErrorIs(t, err, api.ErrInvalid)
}
