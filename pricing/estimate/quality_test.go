package estimate

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
)

func TestQualityBecomesAnExpectedLoss(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	priced(&in, 3)
	add := func(n, quality int, port pricing.PortID, origin, note string) {
		r := *bought(1.5, 0.5)
		r.ID, r.Day, r.Port, r.Quality, r.Origin, r.Note = idOf(500+n), 90, port, quality, origin, note
		r.Reporter = idOf(n)
		in.Reports = append(in.Reports, r)
	}
	require.Zero(t, Fit(in).At("PTHOR", "rice", 100).Goods, "nobody said anything")
	for n := range 3 {
		add(n, 1, "PTHOR", "BR", "weevils in the bag")
	}
	add(3, 4, "PTHOR", "BR", "")
	add(4, 5, "PTHOR", "TH", "")
	for n := range 4 {
		add(10+n, 5, "PTPDL", "TH", "")
	}
	m := Fit(in)
	here, there, elsewhere := m.At("PTHOR", "rice", 100).Goods, m.At("PTPDL", "rice", 100).Goods, m.At("CVMIN", "rice", 100).Goods
	require.Equal(t, 5, here.Graded)
	require.Equal(t, 3, here.Poor)
	require.Equal(t, 3, here.Insects)
	require.Equal(t, pricing.Contrast{Worst: "BR", Poor: 3, Graded: 4, Best: "TH"}, here.Origin)
	// By hand: item (3×0.4+0.02)/(6+9) = 0.0813; here (3×0.0813+1.22)/(3+5).
	require.InDelta(t, (3*1.22/15+1.22)/8, here.Lost, 1e-9)
	require.Less(t, there.Lost, elsewhere.Lost)
	require.Less(t, elsewhere.Lost, here.Lost)
	require.Zero(t, m.At("PTHOR", "milk", 100).Goods)
}

// Words count, not letters that happen to stand together.
func TestNotes(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		note         string
		insects, old bool
	}{
		{"", false, false},
		{"limited to two packs a head", false, false},
		{"my mother's brand, from France", false, false},
		{"smooth skins", false, false},
		{"Weevils!", true, false},
		{"a bit mouldy", true, false},
		{"larvae in the flour", true, false},
		{"Motten im Mehl", true, false},
		{"rotten below", false, true},
		{"it went off in three days", false, true},
		{"mites, and out of date", true, true},
	} {
		insects, old := said(tt.note)
		require.Equal(t, [2]bool{tt.insects, tt.old}, [2]bool{insects, old}, tt.note)
	}
}

// What does not last is an expected loss as what is graded poor.
func TestShortLifeIsALoss(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	priced(&in, 3)
	for n := range 4 {
		r := *bought(1.5, 0.5)
		r.ID, r.Day, r.Reporter, r.Note = idOf(500+n), 90, idOf(n), "sprouted within a week"
		in.Reports = append(in.Reports, r)
	}
	g := Fit(in).At("PTHOR", "rice", 100).Goods
	require.Equal(t, 4, g.Poor)
	require.Zero(t, g.Insects)
	// By hand: item 4×0.2/(6+4) = 0.08; here (3×0.08 + 0.8)/(3+4).
	require.InDelta(t, 1.04/7, g.Lost, 1e-9)
}

// Paper that lets weevils in is learned from notes, for the item, for others
// of its category that are sold in paper, and not for what is in tins.
func TestPackagingIsLearned(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	in.Items[0].Packaging = "paper"
	in.Items = append(in.Items,
		Item{ID: "oats", Category: "staple", Unit: "kg", ListPack: 500_000, Packaging: "paper"},
		Item{ID: "corn", Category: "staple", Unit: "kg", ListPack: 500_000, Packaging: "tin"})
	priced(&in, 3)
	n := 0
	add := func(times int, note string, quality int) {
		for range times {
			n++
			r := *bought(1.5, 0.5)
			r.ID, r.Day, r.Port, r.Quality, r.Note, r.Reporter = idOf(500+n), 90, "PTPDL", quality, note, idOf(n)
			in.Reports = append(in.Reports, r)
		}
	}
	add(4, "weevils, paper torn", 2)
	add(1, "weevils", 0) // in paper as usual
	add(1, "", 5)
	add(6, "see-through bag, fine", 5)
	m := Fit(in)
	here := m.At("PTHOR", "rice", 100).Goods
	require.Equal(t, pricing.Contrast{Worst: "paper", Poor: 5, Graded: 6, Best: "clear"}, here.Packed)
	// By hand: 5 × 0.3 lost of 6 in paper, nothing of 6 × 0.3 in clear bags; no
	// report from this port.
	require.InDelta(t, 1.5/(6+6+1.8), here.Lost, 1e-9)
	oats, corn := m.At("PTHOR", "oats", 100).Goods, m.At("PTHOR", "corn", 100).Goods
	require.InDelta(t, 1.5/26, oats.Lost, 1e-9)
	require.Zero(t, corn)
	require.Zero(t, oats.Graded)
}

func TestPackagingInNotes(t *testing.T) {
	t.Parallel()
	for note, want := range map[string]string{
		"": "", "fine": "", "by tinsel": "", "in a paper bag": "paper", "Weevils in the bags": "bag", "clear bag, clean": "clear",
		"durchsichtiger Beutel": "clear", "im Karton": "carton", "two tins dented": "tin", "plastic bag": "plastic", "a granel": "loose",
		"en bocal": "glass", "vacuum packed": "vac", "papierähnlich": "",
	} {
		require.Equal(t, want, packedIn(note), note)
	}
	require.Equal(t, "tin", kindOf("can"))
	require.Equal(t, "glass", kindOf("glass"))
}
