package web

import (
	"hardtack/pricing/money"
)

// barChart is one bar a row, with its words beside it.
type barChart struct {
	W, H  float64
	Bars  []box
	Names []mark
	Sums  []mark
}

const (
	barsW  = 400.0
	barRow = 26.0
	barsX  = 150.0
)

// spendBars is the money by stop. Its table is the stops of the season page.
func spendBars(f *Frame, rows []stopRow, home money.Currency) barChart {
	most := 1e-9
	for _, r := range rows {
		most = max(most, r.Spend)
	}
	c := barChart{W: barsW}
	y := 4.0
	for _, r := range rows {
		w := px((barsW - barsX - 80) * r.Spend / most)
		c.Bars = append(c.Bars, box{X: barsX, Y: y, W: w, H: barRow - 8})
		c.Names = append(c.Names, mark{4, y + 14, clipped(r.Name, 16)})
		c.Sums = append(c.Sums, mark{barsX + w + 6, y + 14, f.Round(r.Spend, home)})
		y += barRow
	}
	c.H = y
	return c
}

// clipped is a text of at most n characters.
func clipped(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s
}
