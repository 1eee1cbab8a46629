//go:build unix

package plan_test

import (
	"context"
	"os"
	"slices"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

// A price typed at the shelf against planning anew, on a stored season: every
// pack bought at its second stop, in processor time, so that other programs on
// the machine do not count.
func BenchmarkShelf(b *testing.B) {
	f, err := os.Open("../../testdata/instances/season-101.json")
	require.NoError(b, err)
	defer f.Close()
	brief, err := plan.ParseBrief(f)
	require.NoError(b, err)
	began := spent(b)
	p, err := plan.Solve(context.Background(), brief, plan.Budget{}, nil)
	require.NoError(b, err)
	b.Logf("a full plan: %v", spent(b)-began)
	for _, q := range []struct {
		name string
		ask  func(plan.Shelf, float64) error
	}{
		{"steps", func(s plan.Shelf, _ float64) error {
			_, err := plan.Steps(context.Background(), brief, p, s)
			return err
		}},
		{"both", func(s plan.Shelf, price float64) error {
			_, _, _, err := plan.Meet(context.Background(), brief, p, s, price)
			return err
		}},
		{"price", func(s plan.Shelf, price float64) error {
			_, _, err := plan.Reprice(context.Background(), brief, p, s, price)
			return err
		}},
	} {
		b.Run(q.name, func(b *testing.B) {
			var took []time.Duration
			for b.Loop() {
				for _, x := range p.Purchases {
					if x.Stop != 1 {
						continue
					}
					began := spent(b)
					require.NoError(b, q.ask(plan.Shelf{Need: x.Need, Item: x.Item, Stop: x.Stop, Pack: x.Pack}, x.Price*1.3))
					took = append(took, spent(b)-began)
				}
			}
			slices.Sort(took)
			sum := time.Duration(0)
			for _, d := range took {
				sum += d
			}
			ms := func(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
			b.ReportMetric(ms(sum)/float64(len(took)), "mean-cpu-ms")
			b.ReportMetric(ms(took[len(took)/2]), "median-cpu-ms")
			b.ReportMetric(ms(took[len(took)-1]), "worst-cpu-ms")
		})
	}
}

// spent is the processor time of this process.
func spent(t testing.TB) time.Duration {
	var u syscall.Rusage
	require.NoError(t, syscall.Getrusage(syscall.RUSAGE_SELF, &u))
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
