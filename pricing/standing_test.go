package pricing

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing/calendar"
)

func TestStanding(t *testing.T) {
	t.Parallel()
	reports := []Report{
		{ID: "a", Day: 10, Found: FoundYes},
		{ID: "b", Day: 20, Found: FoundYes, Replaces: "a"}, // corrects a
		{ID: "c", Day: 30, Replaces: "b"},                  // takes b back
		{ID: "d", Day: 30, Found: FoundNone},
	}
	ids := func(day int32) (out []string) {
		for _, r := range Standing(reports, calendar.Day(day)) {
			out = append(out, r.ID)
		}
		return out
	}
	require.Empty(t, ids(9))
	require.Equal(t, []string{"a"}, ids(19))
	require.Equal(t, []string{"b"}, ids(20))
	require.Equal(t, []string{"d"}, ids(30), "what b corrected does not come back")
}
