package web

import (
	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// priceRow is what is believed of one item at one port, in the home currency
// per unit of the item.
type priceRow struct {
	Call           int
	Port, Name     string
	Arrive         calendar.Day
	Price          float64
	Low, High      float64
	Local          float64
	Money          string
	Available      float64
	Evidence       float64
	Basis          pricing.Basis
	Mark           string // evidence by shape
	Age            int    // days; -1: no report
	Here           bool
	Days, Distance float64
	Keeps          string
	Saving         float64
	ItemName       string
}

// intervalChart is prices by port, each with the interval it lies in four
// times in five. Its table is the rows.
type intervalChart struct {
	W, H   float64
	Rows   []intervalRow
	Ticks  []mark
	Rules  []span
	Legend string
}

type intervalRow struct {
	Name             string
	X1, X2, Mid, Y   float64
	TY               float64
	Here, Guess, Few bool
}

const (
	intervalW = 420.0
	intervalX = 150.0
)

func newIntervals(f *Frame, rows []priceRow) intervalChart {
	most := 0.0
	for _, r := range rows {
		most = max(most, r.High)
	}
	step := niceStep(most, 4)
	at := func(x float64) float64 { return px(intervalX + (intervalW-intervalX-12)*x/max(most, 1e-9)) }
	c := intervalChart{W: intervalW}
	y := 22.0
	for _, r := range rows {
		c.Rows = append(c.Rows, intervalRow{
			Name: clipped(r.Name, 16), X1: at(r.Low), X2: at(r.High), Mid: at(r.Price), Y: y, TY: y + 4,
			Here: r.Here, Guess: r.Basis == pricing.BasisGuess, Few: r.Basis != pricing.BasisCell,
		})
		y += 24
	}
	c.H = y
	for x := 0.0; x <= most; x += step {
		c.Ticks = append(c.Ticks, mark{at(x), 12, f.point(trim(x, 2))})
		c.Rules = append(c.Rules, span{at(x), 15, at(x), y})
	}
	return c
}

// marks tell evidence by shape, so that no colour is needed.
var marks = map[pricing.Basis]string{
	pricing.BasisCell: "■", pricing.BasisPort: "▣", pricing.BasisCountry: "□", pricing.BasisAll: "□", pricing.BasisGuess: "~",
}
