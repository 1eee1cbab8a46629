package world

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
)

func small(seed uint64) Spec {
	s := Usual(seed, Kinds()["plain"])
	s.Items, s.Ports, s.Countries, s.Reports = 40, 20, 8, 3000
	return s
}

func TestASpecGivesOneWorld(t *testing.T) {
	t.Parallel()
	a, b := Invent(small(1)), Invent(small(1))
	require.Equal(t, a.Reports, b.Reports)
	require.Equal(t, a.Pairs, b.Pairs)
	require.NotEqual(t, a.Reports, Invent(small(2)).Reports)
	require.Len(t, a.Pairs, 40*20)
}

// A world without the lies is the same but for the prices of the liars.
func TestHonestTwinsDifferInTheLiesAlone(t *testing.T) {
	t.Parallel()
	s := small(3)
	s.Liars, s.Wild = 0.2, true
	lied := Invent(s)
	s.Honest = true
	honest := Invent(s)
	require.Equal(t, lied.Pairs, honest.Pairs)
	require.Len(t, honest.Reports, len(lied.Reports))
	require.Empty(t, honest.Lied)
	require.NotEmpty(t, lied.Lied)
	for k, r := range lied.Reports {
		h := honest.Reports[k]
		if lied.Lied[r.ID] {
			factor := r.Paid.Float() / h.Paid.Float()
			require.Greater(t, factor, 1.45, r.ID)
			require.Less(t, factor, 10.3, r.ID)
			h.Paid = r.Paid
		}
		require.Equal(t, h, r)
	}
}

// The shares asked for are about those there are, and nobody reports from the
// quiet countries.
func TestAWorldIsAsAskedFor(t *testing.T) {
	t.Parallel()
	w := Invent(small(4))
	prices, none, words := 0.0, 0.0, 0.0
	country := map[pricing.PortID]string{}
	for _, p := range w.Ports {
		country[p.ID] = p.Country
	}
	for _, r := range w.Reports {
		require.NotContains(t, []string{"XA", "XB"}, country[r.Port])
		require.LessOrEqual(t, r.Day, w.Day)
		switch r.Found {
		case pricing.FoundYes:
			prices++
			require.Positive(t, r.Paid.Minor)
		case pricing.FoundNone:
			none++
		default:
			words++
		}
	}
	all := prices + none + words
	require.InDelta(t, w.None, none/all, 0.02)
	require.InDelta(t, w.Vague, words/all, 0.02)
	require.InDelta(t, w.Slips, float64(len(w.Slipped))/prices, 0.012)
	seen := 0
	for _, p := range w.Pairs {
		require.False(t, math.IsNaN(p.Log+p.Receipt))
		if p.Seen {
			seen++
		}
	}
	require.Greater(t, seen, 100)
}
