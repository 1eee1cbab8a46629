package main

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/plotutil"
	"gonum.org/v1/plot/vg"
)

// line is seconds against sizes, both above 0.
type line struct {
	name    string
	x       []float64
	seconds []float64
}

// draw writes an SVG file of lines, both axes logarithmic, and beside each, dashed,
// the one of exponent 1 through its first point.
func draw(file, across string, lines ...line) error {
	p := plot.New()
	p.X.Label.Text, p.Y.Label.Text = across, "seconds"
	p.X.Scale, p.Y.Scale = plot.LogScale{}, plot.LogScale{}
	p.X.Tick.Marker, p.Y.Tick.Marker = plot.TickerFunc(oneTwoFive), plot.TickerFunc(oneTwoFive)
	p.Legend.Top, p.Legend.Left = true, true
	for k, l := range lines {
		if len(l.x) < 2 || slices.Min(l.seconds) <= 0 {
			return fmt.Errorf("%s: to be drawn it takes two sizes and times above 0; nothing is written", l.name)
		}
		points := make(plotter.XYs, len(l.x))
		for j := range points {
			points[j] = plotter.XY{X: l.x[j], Y: l.seconds[j]}
		}
		joined, dots, err := plotter.NewLinePoints(points)
		if err != nil {
			return err
		}
		first, last := points[0], points[len(points)-1]
		one, err := plotter.NewLine(plotter.XYs{first, {X: last.X, Y: first.Y * last.X / first.X}})
		if err != nil {
			return err
		}
		joined.Color, dots.Color, one.Color = plotutil.Color(k), plotutil.Color(k), plotutil.Color(k)
		dots.Shape, one.Dashes = plotutil.Shape(k), plotutil.Dashes(1)
		p.Add(joined, dots, one)
		p.Legend.Add(l.name, joined, dots)
		p.Legend.Add(l.name+" with exponent 1", one)
	}
	p.X.Max *= 1.2 // room for the last mark
	drawn, err := p.WriterTo(16*vg.Centimeter, 10*vg.Centimeter, "svg")
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if _, err := drawn.WriteTo(&b); err != nil {
		return err
	}
	return os.WriteFile(file, b.Bytes(), 0o644)
}

// oneTwoFive are the marks of 1, 2 and 5, of their tenths, tenfolds and so on.
func oneTwoFive(low, high float64) (marks []plot.Tick) {
	for ten := math.Pow(10, math.Floor(math.Log10(low))); ten <= high; ten *= 10 {
		for _, v := range [3]float64{ten, 2 * ten, 5 * ten} {
			marks = append(marks, plot.Tick{Value: v, Label: fmt.Sprintf("%.7g", v)})
		}
	}
	return marks
}
