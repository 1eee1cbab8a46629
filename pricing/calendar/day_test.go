package calendar

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParse(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]Day{
		"1970-01-02": 1, "2000-03-01": 11017, "2026-11-25": 20782, // Unix time 951868800 and 1795564800 over 86400
	} {
		got, err := Parse(text)
		require.NoError(t, err)
		require.Equal(t, want, got)
		require.Equal(t, text, got.String())
	}
	for _, bad := range []string{"", "2026-02-29", "2026-13-01", "26-01-01", "2026-1-1", "2026-01-01T00:00:00Z", "01/02/2026", " 2026-01-01"} {
		_, err := Parse(bad)
		require.Error(t, err, bad)
	}
}

func TestTheDayIsThatOfUTC(t *testing.T) {
	t.Parallel()
	east := time.FixedZone("UTC+13", 13*3600)
	require.Equal(t, "2026-11-24", Of(time.Date(2026, 11, 25, 12, 59, 0, 0, east)).String())
	require.Equal(t, "1969-12-31", Of(time.Date(1969, 12, 31, 23, 0, 0, 0, time.UTC)).String())
}

func TestTextRoundTrip(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(r *rapid.T) {
		want := Day(rapid.Int32Range(-10_000, 100_000).Draw(r, "day"))
		text, err := want.MarshalText()
		require.NoError(r, err)
		var got Day
		require.NoError(r, got.UnmarshalText(text))
		require.Equal(r, want, got)
		require.Equal(r, want, Of(want.Time()))
	})
	var d Day = 5
	require.NoError(t, d.UnmarshalText(nil))
	require.True(t, d.IsZero())
	require.Error(t, d.UnmarshalText([]byte("soon")))
}

func FuzzParse(f *testing.F) {
	f.Add("2026-11-25")
	f.Add("")
	f.Fuzz(func(t *testing.T, s string) {
		d, err := Parse(s)
		if err == nil && !d.IsZero() {
			require.Equal(t, s, d.String())
		}
	})
}

func TestMonthBeginsOnTheFirst(t *testing.T) {
	t.Parallel()
	for in, want := range map[string]string{"2026-06-15": "2026-06-01", "2024-02-29": "2024-02-01", "2026-01-01": "2026-01-01", "1969-12-31": "1969-12-01"} {
		d, err := Parse(in)
		require.NoError(t, err)
		require.Equal(t, want, d.Month().String())
	}
}
