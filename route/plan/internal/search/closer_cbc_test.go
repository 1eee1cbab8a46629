package search

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// needModel is the first need of a model at prices, alone in all the room, as a
// mixed-integer program in the CPLEX LP format.
type needModel struct {
	m                        *Model
	n                        *Need
	p                        *Prices
	costs, rows, wide, whole strings.Builder
	served, covered          []string
	room                     map[[2]int]string
	count                    int
}

func (w *needModel) column(cost float64, format string, places ...any) string {
	name := fmt.Sprintf(format, places...)
	fmt.Fprintf(&w.costs, " + %.12g %s\n", cost, name)
	return " + " + name
}

func (w *needModel) row(terms, sense string, right float64) {
	if terms != "" {
		fmt.Fprintf(&w.rows, " r%d:%s %s %.12g\n", w.count, terms, sense, right)
		w.count++
	}
}

// flow adds a column and what it covers and takes up.
func (w *needModel) flow(f Flow) string {
	s := &w.n.Sources[f.Source]
	way := s.Ways[f.Way]
	taste := s.Taste
	if f.Segment < 0 {
		taste = 0
	}
	x := w.column(taste+w.p.hold(s, way, f.To), "x%d_%d_%d_%d", f.Source, f.Way, f.Segment+1, f.To+1)
	for leg := range w.n.Due {
		if f.Covers(w.n, leg) {
			w.covered[leg] += x
		}
	}
	for q := s.Stop; q <= f.To; q++ {
		w.room[[2]int{way.Room, q}] += fmt.Sprintf(" + %.12g%s", way.Litres, x[2:])
		w.room[[2]int{w.m.Payload(), q}] += fmt.Sprintf(" + %.12g%s", s.Kg, x[2:])
	}
	return x
}

func (w *needModel) source(i int) {
	s := &w.n.Sources[i]
	sold, away := "", ""
	most := 0.0
	for g, segment := range w.n.Segments {
		most += segment.Amount
		if s.direct(segment.Period) {
			x := w.column(s.Taste, "d%d_%d", i, g)
			sold, w.served[g] = sold+x, w.served[g]+x
			continue
		}
		for v, way := range s.Ways {
			if s.Serves(segment) && way.keeps(segment.End) {
				x := w.flow(Flow{Source: i, Way: v, Segment: g, To: lastDeparture(segment.Period)})
				away, w.served[g] = away+x, w.served[g]+x
			}
		}
	}
	for v := range s.Ways {
		for leg := s.Stop; leg < w.m.Legs() && 2*leg+1 <= s.Last; leg++ {
			if f := (Flow{Source: i, Way: v, Segment: -1, To: leg}); f.Covers(w.n, leg) {
				away += w.flow(f)
				most += w.n.Due[leg]
			}
		}
	}
	if away != "" && s.Aboard < 0 {
		y := w.column(s.Line, "y%d", i)
		fmt.Fprintf(&w.wide, "%s <= 1\n", y[2:])
		fmt.Fprintf(&w.whole, "%s\n", y[2:])
		w.row(fmt.Sprintf("%s - %.12g%s", away, most, y[2:]), "<=", 0)
		w.row(fmt.Sprintf("%s - z%d", y, s.Stop), "<=", 0)
	}
	for _, o := range s.Offers {
		offer := &w.n.Offers[o]
		b := w.column(offer.Price, "b%d", o)
		fmt.Fprintf(&w.wide, " %d <= %s <= %d\n", offer.Min, b[2:], offer.Limit)
		fmt.Fprintf(&w.whole, "%s\n", b[2:])
		away += fmt.Sprintf(" - %.12g%s", offer.Size, b[2:])
	}
	w.row(sold+away, "<=", s.Held)
}

// needByCBC is what CBC proves the need costs at least.
func needByCBC(t *testing.T, m *Model, p *Prices) float64 {
	t.Helper()
	n := m.Needs[0]
	w := &needModel{m: m, n: n, p: p, served: make([]string, len(n.Segments)), covered: make([]string, len(n.Due)), room: map[[2]int]string{}}
	for i := range n.Sources {
		w.source(i)
	}
	for stop := range m.Stops {
		z := w.column(p.Open[0][stop], "z%d", stop)
		fmt.Fprintf(&w.wide, "%s <= 1\n", z[2:])
	}
	for g, segment := range n.Segments {
		w.row(w.served[g]+w.column(n.Miss, "u%d", g), "=", segment.Amount)
	}
	for leg, due := range n.Due {
		w.row(w.covered[leg]+w.column(n.ReserveMiss, "v%d", leg), ">=", due)
	}
	for r, room := range m.Room {
		for q := range m.Legs() {
			if !math.IsInf(room, 1) {
				w.row(w.room[[2]int{r, q}], "<=", room)
			}
		}
	}
	file := filepath.Join(t.TempDir(), "need.lp")
	text := "Minimize\n cost:\n" + w.costs.String() + "Subject To\n" + w.rows.String() + "Bounds\n" + w.wide.String() + "Generals\n" + w.whole.String() + "End\n"
	require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	out, err := exec.CommandContext(t.Context(), "cbc", file, "ratio", "0", "allow", "1e-9", "solve").CombinedOutput()
	require.NoError(t, err, "cbc (Debian package coinor-cbc): %s", out)
	require.Contains(t, string(out), "Optimal solution found", "%s", out)
	_, rest, _ := strings.Cut(string(out), "Objective value:")
	cost, err := strconv.ParseFloat(strings.Fields(rest)[0], 64)
	require.NoError(t, err)
	return cost
}
