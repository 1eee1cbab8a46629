package measure

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParsePack(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		text string
		unit Unit
		want Quantity // by hand, with the factors named beside
	}{
		{"500 g", Kilogram, 500_000},
		{"500g", Kilogram, 500_000},
		{"1.5 KG", Kilogram, 1_500_000},
		{"2 lb", Kilogram, 907_185},  // 2 × 0.45359237, exact by definition
		{"16 oz", Kilogram, 453_592}, // a pound
		{"6 x 250 g", Kilogram, 1_500_000},
		{"bag of 25 kg", Kilogram, 25_000_000},
		{"1.5 l", Litre, 1_500_000},
		{"1,5 l", Litre, 1_500_000},
		{"0,125 l", Litre, 125_000},
		{"12 x 330 ml", Litre, 3_960_000},
		{"12×330ml", Litre, 3_960_000},
		{"2 x 6 x 33 cl", Litre, 3_960_000},
		{"6 x 1 L", Litre, 6_000_000},
		{"pack of 6 x 1 l", Litre, 6_000_000},
		{"1 US gal", Litre, 3_785_412},   // 3.785411784 L, NIST Handbook 44
		{"1 gal (US)", Litre, 3_785_412}, //
		{"1 imp gal", Litre, 4_546_090},  // 4.54609 L
		{"2 imp pt", Litre, 1_136_523},   // 2 × 0.56826125
		{"1 US qt.", Litre, 946_353},     // 0.946352946
		{"12 fl oz US", Litre, 354_882},  // 12 × 29.5735295625 ml
		{"6", Each, 6_000_000},
		{"dozen", Each, 12_000_000},
		{"2 dozen", Each, 24_000_000},
		{"half dozen", Each, 6_000_000},
		{"half a dozen", Each, 6_000_000},
		{"pack of 12", Each, 12_000_000},
		{"tray of 30", Each, 30_000_000},
		{"6-pack", Each, 6_000_000},
		{"6 pcs", Each, 6_000_000},
		{"3 x 4", Each, 12_000_000},
		{"0.5", Each, 500_000},
	} {
		got, err := ParsePack(tt.text, tt.unit)
		require.NoError(t, err, tt.text)
		require.Equal(t, tt.want, got, tt.text)
	}
}

func TestParsePackSaysWhatItWants(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		text string
		unit Unit
		says string
	}{
		{"500 ml", Kilogram, "g, kg, oz or lb"},
		{"2 kg", Litre, "ml, cl, l"},
		{"2 kg", Each, "pieces"},
		{"1 gal", Litre, "say US gal or imp gal"},
		{"12 fl oz", Litre, "say US fl oz or imp fl oz"},
		{"1,500 g", Kilogram, "may be a thousand or a decimal"},
		{"500", Kilogram, "no unit"},
		{"3 stone", Kilogram, `unknown unit "stone"`},
		{"", Each, "nothing"},
		{" - ", Each, "nothing"},
		{"0", Each, "nothing"},
		{"0 x 3", Each, "more than 0"},
		{"-3", Each, "unknown unit"},
		{"1e9", Each, "unknown unit"},
		{"NaN kg", Kilogram, "unknown unit"},
		{"1.2.3 kg", Kilogram, "no number"},
		{".5 kg", Kilogram, "no number"},
		{"0.0000001 kg", Kilogram, "more than 0"},
		{"99999999999999999 kg", Kilogram, "less than"},
		{"2 x 2 x 2 x 2", Each, "packs in packs"},
	} {
		_, err := ParsePack(tt.text, tt.unit)
		require.ErrorIs(t, err, ErrPack, tt.text)
		require.ErrorContains(t, err, tt.says, tt.text)
	}
}

func TestFormat(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		q    Quantity
		unit Unit
		want string
	}{
		{Of(0.5), Kilogram, "500 g"}, {Of(1.5), Kilogram, "1.5 kg"}, {Of(0.33), Litre, "330 ml"}, {Of(12), Each, "12"},
		{453_592, Kilogram, "453.592 g"}, {Of(0.5), Each, "0.5"}, {1, Litre, "0.001 ml"}, {-Of(2), Kilogram, "-2 kg"},
		{0, Kilogram, "0 kg"},
	} {
		require.Equal(t, tt.want, tt.q.Format(tt.unit))
	}
}

func TestFormatIsReadBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(r *rapid.T) {
		q := Quantity(rapid.Int64Range(1, maxQuantity).Draw(r, "q"))
		u := rapid.SampledFrom([]Unit{Kilogram, Litre, Each}).Draw(r, "unit")
		got, err := ParsePack(q.Format(u), u)
		require.NoError(r, err)
		require.Equal(r, q, got)
	})
}

func FuzzParsePack(f *testing.F) {
	for _, s := range []string{"500 g", "12 x 330 ml", "half dozen", "1 US gal", "pack of 6 x 1 L", "1,5 l", " of x", "x", "1x"} {
		for _, u := range []string{"kg", "L", "each"} {
			f.Add(s, u)
		}
	}
	f.Fuzz(func(t *testing.T, s, unit string) {
		u := Unit(unit)
		q, err := ParsePack(s, u)
		if err != nil {
			require.ErrorIs(t, err, ErrPack)
			require.Zero(t, q)
			return
		}
		again, err := ParsePack(q.Format(u), u)
		require.NoError(t, err)
		require.Equal(t, q, again)
	})
}
