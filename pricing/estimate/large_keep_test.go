package estimate

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// Sums that were written down and read again answer the same to the last bit;
// the basis fitted anew bears the same print, one of other reports another.
func TestSumsComeBack(t *testing.T) {
	t.Parallel()
	w := invent(spec(22, 40, 12, 5, 1500))
	in := w.Input
	basis := Fit(in)
	want := fed(t, basis, in.Reports)
	in.Reports = slices.Clone(in.Reports)
	slices.Reverse(in.Reports)
	again := Fit(in)
	require.Equal(t, Print(basis, w.Input.Reports), Print(again, in.Reports))
	less := in
	less.Reports = in.Reports[:len(in.Reports)-20]
	require.NotEqual(t, Print(basis, in.Reports), Print(Fit(less), in.Reports))
	later := in
	later.Day++
	require.NotEqual(t, Print(basis, in.Reports), Print(Fit(later), in.Reports))

	got, bytes := NewLarge(again), 0
	for part := range want.Parts() {
		bytes += len(part)
		require.NoError(t, got.Load(part))
	}
	require.Positive(t, bytes)
	require.Less(t, bytes, 60*want.filled())
	require.Equal(t, want.rows, got.rows)
	want.Solve()
	got.Solve()
	for _, k := range w.known {
		require.InEpsilon(t, want.At(k.Port, k.Item, k.Day).Price, got.At(k.Port, k.Item, k.Day).Price, 1e-9)
	}
}

// Whatever bytes are given, a pair that is not there, one twice, a part cut
// short: an error, never a panic.
func FuzzLoadSums(f *testing.F) {
	w := invent(spec(23, 10, 4, 2, 60))
	basis := Fit(w.Input)
	l := NewLarge(basis)
	for k := range w.Input.Reports {
		require.NoError(f, l.Change(nil, w.Input.Reports[k:k+1]))
	}
	for part := range l.Parts() {
		f.Add(slices.Clone(part))
		f.Add(slices.Clone(part[:len(part)-1]))
		f.Add(slices.Concat(part, part))
	}
	f.Fuzz(func(t *testing.T, part []byte) {
		into := NewLarge(basis)
		if err := into.Load(part); err != nil {
			require.ErrorIs(t, err, ErrSums)
			return
		}
		into.Solve()
	})
}
