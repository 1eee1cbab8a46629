package spelling

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestFold(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"Crème fraîche":     "creme fraiche",
		" Ship's  Biscuit!": "ships biscuit",
		"milk_uht":          "milk uht",
		"Smørrebrød, 2 ½":   "smorrebrod 2",
		"…":                 "",
	} {
		require.Equal(t, want, Fold(text), text)
	}
}

func TestDistance(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		a, b       string
		most, want int
	}{
		{"kitten", "sitting", 9, 3}, // V. I. Levenshtein's measure, the textbook pair
		{"ca", "abc", 9, 3},         // restricted: a swapped pair is not touched again
		{"flour", "fluor", 9, 1},
		{"rice", "pasta", 2, 3},
		{"", "ab", 9, 2},
	} {
		require.Equal(t, tt.want, Distance(tt.a, tt.b, tt.most), "%s %s", tt.a, tt.b)
	}
}

func TestDistanceLaws(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringMatching(`[a-dé]{0,7}`)
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		d := Distance(a, b, 20)
		require.Equal(t, d, Distance(b, a, 20))
		require.Equal(t, a == b, d == 0)
		require.Equal(t, min(d, 3), Distance(a, b, 2))
	})
}

func TestFoldIsIdempotent(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := Fold(rapid.String().Draw(t, "text"))
		require.Equal(t, s, Fold(s))
	})
}
