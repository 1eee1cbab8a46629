package estimate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"runtime/debug"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/fx"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

// crowdWorld gives reports one by one, as many as are asked for: none is kept.
type crowdWorld struct {
	in                  Input
	rng                 *rand.Rand
	item, port, country []float64
	byItem, byPort      *rand.Zipf
	who                 []string
}

func newCrowdWorld(items, ports, countries int) *crowdWorld {
	w := &crowdWorld{rng: rand.New(rand.NewPCG(1, 10))}
	w.in.Day = calendar.Day(20_600)
	w.in.Rates, _ = fx.New("EUR", []fx.Rate{{Currency: "USD", Day: 1, PerReference: 1.1}})
	normals := func(n int, sd float64) []float64 {
		out := make([]float64, n)
		for k := range out {
			out[k] = sd * w.rng.NormFloat64()
		}
		return out
	}
	w.item, w.port, w.country = normals(items, 1), normals(ports, 0.12), normals(countries, 0.28)
	for i := range items {
		w.in.Items = append(w.in.Items, Item{ID: pricing.ItemID(fmt.Sprintf("i%04d", i)), Category: fmt.Sprintf("g%02d", i%20), Unit: measure.Kilogram, ListPack: measure.One})
	}
	for p := range ports {
		w.in.Ports = append(w.in.Ports, Port{ID: pricing.PortID(fmt.Sprintf("p%05d", p)), Country: fmt.Sprintf("c%03d", p%countries)})
	}
	for u := range 20_000 {
		w.who = append(w.who, fmt.Sprintf("u%05d", u))
	}
	w.byItem = rand.NewZipf(w.rng, 1.05, 200, uint64(items-1))
	w.byPort = rand.NewZipf(w.rng, 1.05, 800, uint64(ports-1))
	return w
}

func (w *crowdWorld) next(r *pricing.Report) {
	i, p := int(w.byItem.Uint64()), int(w.byPort.Uint64())
	y := w.item[i] + w.port[p] + w.country[p%len(w.country)] + 0.25*w.rng.NormFloat64()
	*r = pricing.Report{
		ID: "x", Port: w.in.Ports[p].ID, Item: w.in.Items[i].ID, Day: w.in.Day - calendar.Day(w.rng.IntN(1095)), Found: pricing.FoundYes,
		Paid: money.Amount{Minor: max(1, int64(200*math.Exp(y))), Currency: "USD"}, Pack: measure.One,
		Reporter: w.who[w.rng.IntN(len(w.who))], Source: pricing.Receipt, Shop: "market",
	}
}

// BenchmarkLarge takes reports in one by one, solves for all effects, and then
// solves plain least squares on items and ports by the same linear algebra on
// the same cells:
//
//	go test ./pricing/estimate -run '^$' -bench Large -benchtime 1x -cpu 1
//
// -bench Large/10000000 alone for the largest. Reported: µs a report, seconds
// for both solutions, their ratio, and the most memory the process had.
func BenchmarkLarge(b *testing.B) {
	for _, n := range []int{100_000, 1_000_000, 10_000_000} {
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			for range b.N {
				benchLarge(b, n)
			}
		})
	}
}

func benchLarge(b *testing.B, reports int) {
	b.Helper()
	w := newCrowdWorld(600, 5000, 120)
	basis := Fit(w.sample(30_000))
	l := NewLarge(basis)
	batch := make([]pricing.Report, 10_000)
	runtime.GC()
	debug.SetGCPercent(20)
	defer debug.SetGCPercent(100)
	drawn := time.Duration(0)
	start := spent()
	for done := 0; done < reports; {
		before := spent()
		for k := range batch {
			w.next(&batch[k])
		}
		drawn += spent() - before
		for k := range batch {
			if err := l.Change(nil, batch[k:k+1]); err != nil {
				b.Fatal(err)
			}
		}
		done += len(batch)
	}
	absorbed := spent() - start - drawn
	clear(l.theta)
	start = spent()
	steps := l.Solve()
	solved := (spent() - start)
	plain, plainSteps := l.plainLeastSquares()
	w.next(&batch[0])
	if err := l.Change(nil, batch[:1]); err != nil {
		b.Fatal(err)
	}
	start = spent()
	l.Solve()
	b.ReportMetric((spent() - start).Seconds(), "s/warm")
	b.ReportMetric(float64(absorbed.Microseconds())/float64(reports), "µs/report")
	b.ReportMetric(float64(l.filled()), "cells")
	b.ReportMetric(solved.Seconds(), "s/fit")
	b.ReportMetric(float64(steps), "steps")
	b.ReportMetric(plain.Seconds(), "s/plain")
	b.ReportMetric(float64(plainSteps), "plain-steps")
	b.ReportMetric(solved.Seconds()/plain.Seconds(), "fit/plain")
	b.ReportMetric(mostMemory(), "MB-most")
}

// sample is an input with some of the reports.
func (w *crowdWorld) sample(n int) Input {
	in := w.in
	in.Reports = make([]pricing.Report, n)
	for k := range in.Reports {
		w.next(&in.Reports[k])
		in.Reports[k].ID = strconv.Itoa(k)
	}
	return in
}

// plainLeastSquares on items and ports, all else held at zero.
func (l *Large) plainLeastSquares() (time.Duration, int) {
	start := spent()
	s := system{layout: l.system.layout, prior: l.tree()}
	for k := range s.precision {
		s.precision[k], s.parent[k] = math.Inf(1), -1
	}
	for k := s.item; k < s.item+s.items; k++ {
		s.precision[k] = 0
	}
	for k := s.port; k < s.port+s.ports; k++ {
		s.precision[k] = 1e-9
	}
	s.means = make([]average, 0, l.filled())
	for p, row := range l.rows {
		for i := range row {
			if row[i].lasting.w > 0 {
				a := row[i].effective()
				s.means = append(s.means, average{int32(p), int32(i), float32(a), float32(a * row[i].lasting.mean())})
			}
		}
	}
	steps := s.solve(make([]float64, s.size), roughly)
	return (spent() - start), steps
}

// spent is the processor time of this process: the machine may be busy.
func spent() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		panic("no processor time")
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// mostMemory is the most the process has had, in MB; 0 where that is not told.
func mostMemory() float64 {
	text, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return 0
	}
	_, rest, _ := strings.Cut(string(text), "VmHWM:")
	fields := strings.Fields(rest)
	if len(fields) == 0 {
		return 0
	}
	kb, _ := strconv.ParseFloat(fields[0], 64) // 0 when it is no number
	return kb / 1024
}
