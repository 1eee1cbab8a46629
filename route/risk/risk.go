package risk

import (
	"context"
	"fmt"
	"runtime"
	"sync"

	"hardtack/route/plan"
)

// Policy is how the skipper shops anew at a stop.
type Policy int

// Plain counts on every price and shelf ahead as the brief has it. Waiting
// weighs what it is worth that prices ahead may be lower, against that the
// thing may not be found. Careful does that too, and leaves no more to chance
// than Allowed to the class of the need.
const (
	Plain Policy = iota
	Waiting
	Careful
)

// Options of a Walk; the zero value takes every default.
type Options struct {
	Walks   int    // seasons; 0 = 2000
	Seed    uint64 // of everything drawn
	Workers int    // 0 = one for each processor
	Policy  Policy
	Extra   []Extra // bought on top of everything, where it is on the shelf
}

// Extra is packs bought beside everything else, of the item's first offer at
// the stop.
type Extra struct {
	Need  string `json:"need"`
	Item  string `json:"item"`
	Stop  int    `json:"stop"`
	Packs int    `json:"packs"`
}

type extra struct{ need, item, stop, packs int }

const usualWalks = 2000

// Walked is what many seasons came to.
type Walked struct {
	Walks    int
	outcomes []outcome
	shortages
	needs []plan.Need
	doubt Doubt
}

// shortages are counts of walks by need and period.
type shortages struct {
	short [][]int // ran short
	bare  [][]int // of these, those of what no shelf passed had
}

func (s shortages) add(w *walker) {
	for n := range w.short {
		for q := range w.short[n] {
			s.short[n][q] += w.short[n][q]
			s.bare[n][q] += w.bare[n][q]
		}
	}
}

// Walk goes through the season many times. Its error is that of b.Check,
// ErrInput where doubt or plan do not fit the brief, or that of ctx.
func Walk(ctx context.Context, b plan.Brief, d Doubt, p plan.Plan, o Options) (*Walked, error) {
	if err := b.Check(); err != nil {
		return nil, fmt.Errorf("walk the season: %w", err)
	}
	if err := d.check(b); err != nil {
		return nil, fmt.Errorf("walk the season: %w", err)
	}
	f, err := newField(b, d, p, o.Policy)
	if err != nil {
		return nil, fmt.Errorf("walk the season: %w", err)
	}
	xs, err := f.extras(b, o.Extra)
	if err != nil {
		return nil, fmt.Errorf("walk the season: %w", err)
	}
	if o.Walks <= 0 {
		o.Walks = usualWalks
	}
	all := make([]int, o.Walks)
	for i := range all {
		all[i] = i
	}
	outcomes, counts, err := f.walks(ctx, o, xs, all)
	if err != nil {
		return nil, fmt.Errorf("walk the season: %w", err)
	}
	return &Walked{Walks: o.Walks, outcomes: outcomes, shortages: counts, needs: b.Needs, doubt: d}, nil
}

// walks goes through the seasons of these numbers. Each is written to its own
// place and counts are whole numbers, so that the sum does not depend on who
// walked which.
func (f *field) walks(ctx context.Context, o Options, xs []extra, numbers []int) ([]outcome, shortages, error) {
	if o.Workers <= 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	outcomes, counts := make([]outcome, len(numbers)), shortages{}
	for range f.needs {
		counts.short = append(counts.short, make([]int, 2*len(f.stops)-1))
		counts.bare = append(counts.bare, make([]int, 2*len(f.stops)-1))
	}
	var wait sync.WaitGroup
	var sum sync.Mutex
	for worker := range o.Workers {
		wait.Go(func() {
			w := newWalker(f, o.Seed, xs)
			for i := worker; i < len(numbers) && ctx.Err() == nil; i += o.Workers {
				outcomes[i] = w.walk(numbers[i])
			}
			sum.Lock()
			defer sum.Unlock()
			counts.add(w)
		})
	}
	wait.Wait()
	return outcomes, counts, ctx.Err()
}

func (f *field) extras(b plan.Brief, xs []Extra) ([]extra, error) {
	var out []extra
	for _, x := range xs {
		found := false
		for n, need := range b.Needs {
			for i, it := range need.Items {
				if need.ID == x.Need && it.ID == x.Item && x.Stop >= 0 && x.Stop < len(f.stops) && len(f.needs[n].items[i].offers[x.Stop]) > 0 {
					out = append(out, extra{n, i, x.Stop, x.Packs})
					found = true
				}
			}
		}
		if !found || x.Packs < 1 {
			return nil, fmt.Errorf("extra purchase of %d of %s at stop %d: %w", x.Packs, x.Item, x.Stop, ErrInput)
		}
	}
	return out, nil
}
