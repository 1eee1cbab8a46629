package logbook

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing/calendar"
)

const start calendar.Day = 20_000

func TestEntriesAreChecked(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		entry Entry
		says  string
	}{
		"no such kind":             {Entry{Day: start, Kind: "whales"}, "kind"},
		"no day":                   {Entry{Kind: Rain, Amount: 3}, "day"},
		"more water than a ship":   {Entry{Day: start, Kind: WaterLevel, Amount: 1e6}, "amount"},
		"less than none":           {Entry{Day: start, Kind: Guests, Amount: -1}, "amount"},
		"not a number":             {Entry{Day: start, Kind: Rain, Amount: math.NaN()}, "amount"},
		"an empty cylinder":        {Entry{Day: start, Kind: GasSwap}, "amount"},
		"an amount of words":       {Entry{Day: start, Kind: Remark, Amount: 3, Note: "x"}, "amount"},
		"a remark without a word":  {Entry{Day: start, Kind: Remark}, "note"},
		"a locker of boiling heat": {Entry{Day: start, Kind: Temperature, Amount: 100}, "amount"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			err := tt.entry.Validate()
			require.ErrorIs(t, err, ErrInvalid)
			require.ErrorContains(t, err, tt.says)
			require.ErrorContains(t, err, "nothing was changed")
		})
	}
	for _, e := range []Entry{
		{Day: start, Kind: WaterLevel}, {Day: start, Kind: Temperature, Amount: -18}, {Day: start, Kind: PestSeen, Item: "rice_white"},
		{Day: start, Kind: Wanted, Place: "PTHOR", Note: "reading glasses, fish hooks"},
	} {
		require.NoError(t, e.Validate())
	}
}

// A stretch cut in two adds up to the whole, and comes by day.
func TestSumsAddUp(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var log []Entry
		for range rapid.IntRange(0, 20).Draw(t, "entries") {
			log = append(log, Entry{
				Day: start + calendar.Day(rapid.IntRange(0, 50).Draw(t, "day")), Kind: rapid.SampledFrom([]Kind{Rain, WaterMade, Guests}).Draw(t, "kind"),
				Amount: rapid.Float64Range(0, 100).Draw(t, "amount"),
			})
		}
		cut := start + calendar.Day(rapid.IntRange(0, 50).Draw(t, "cut"))
		whole := Sum(log, start, start+50, Rain, WaterMade)
		require.InDelta(t, whole, Sum(log, start, cut, Rain, WaterMade)+Sum(log, cut+1, start+50, Rain, WaterMade), 1e-9)
		all := Between(log, start, start+50)
		require.Len(t, all, len(log))
		for k := 1; k < len(all); k++ {
			require.LessOrEqual(t, all[k-1].Day, all[k].Day)
		}
	})
}
