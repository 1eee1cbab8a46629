package exchange

import (
	"context"
	"fmt"
	"hash/fnv"
	"math"
	"slices"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// maxRanked is how many records are weighed against each other at once.
const maxRanked = 40_000

// ranked tells what is worth most first, so that a link that breaks, or a
// budget, costs least. The records weighed are those up to one moment, so the
// order stays the same from page to page.
func (t *teller) ranked(ctx context.Context, at place, want Want) error {
	if sum := want.sum(); at.Want != sum || at.Told == 0 {
		at = place{Epoch: at.Epoch, Seq: at.Seq, ID: at.ID, Want: sum, Day: int64(calendar.Of(t.Now))}
	}
	last, err := t.shelf.End(ctx)
	if err != nil {
		return err
	}
	fed, err := t.all(ctx, at)
	if err != nil {
		return err
	}
	if len(fed) == 0 {
		t.a.Next, err = t.Codec.placed(t.placeAt(later(last, at.mark(), nil)))
		return err
	}
	end := fed[len(fed)-1].Mark
	rs := byWorth(without(fed, t.known), want, calendar.Day(at.Day))
	told := min(at.Told, len(rs))
	b, n, err := t.fit(rs[told:], t.budget)
	if err != nil {
		return err
	}
	t.a.Records = b
	if told+n < len(rs) {
		t.a.More = true
		at.UpTo, at.UpToID, at.Told = end.Seq, idOf(end.ID), told+n
	} else {
		at = t.placeAt(end)
		t.a.More = len(fed) == maxRanked
	}
	t.a.Next, err = t.Codec.placed(at)
	return err
}

// all are the records after a place, up to the place's own end if it has one.
func (t *teller) all(ctx context.Context, at place) ([]db.Fed, error) {
	var out []db.Fed
	end := mark(at.UpTo, at.UpToID)
	for m := at.mark(); len(out) < maxRanked; {
		page, err := t.shelf.Records(ctx, t.feed, m, min(pageRows, maxRanked-len(out)))
		if err != nil {
			return nil, err
		}
		for _, f := range page {
			if end != (db.Mark{}) && after(f.Mark, end) {
				return out, nil
			}
			out = append(out, f)
		}
		if len(page) < pageRows {
			break
		}
		m = page[len(page)-1].Mark
	}
	return out, nil
}

func after(a, b db.Mark) bool { return a.Seq > b.Seq || a.Seq == b.Seq && a.ID > b.ID }

// byWorth sorts by what a record is worth to someone who wants it, most first;
// ids decide between equals.
func byWorth(rs []db.Record, want Want, today calendar.Day) []db.Record {
	w := weights(want)
	worth := make(map[string]float64, len(rs))
	for _, r := range rs {
		worth[r.ID] = w.of(r.Report, today)
	}
	slices.SortFunc(rs, func(a, b db.Record) int {
		switch {
		case worth[a.ID] > worth[b.ID]:
			return -1
		case worth[a.ID] < worth[b.ID]:
			return 1
		case a.ID < b.ID:
			return -1
		}
		return 1
	})
	return rs
}

// sum tells one Want from another.
func (w Want) sum() uint64 {
	h := fnv.New64a()
	fmt.Fprintf(h, "%q %q %v", w.Ports, w.Items, w.Stake)
	return h.Sum64()
}

type weight struct {
	port, item map[string]float64
}

// perPort is what a port further along the route counts beside the one before
// it: what is bought sooner is decided sooner. Common practice, no source.
const perPort = 0.93

func weights(want Want) weight {
	w := weight{map[string]float64{}, map[string]float64{}}
	for i, p := range want.Ports {
		if _, again := w.port[p]; !again {
			w.port[p] = math.Pow(perPort, float64(i))
		}
	}
	for i, it := range want.Items {
		if i < len(want.Stake) && want.Stake[i] > 0 && !math.IsInf(want.Stake[i], 0) {
			w.item[it] = want.Stake[i]
		}
	}
	return w
}

// Half of a report's worth is gone after halfLife days, as its weight in an
// estimate is (H = 180 days).
const halfLife = 180

// surprise is what each kind of report tells beside a price read from a
// receipt. A correction takes away something wrong, so it is worth most.
var surprise = map[pricing.Source]float64{pricing.Receipt: 1, pricing.Shelf: 0.8, pricing.Memory: 0.5}

// of is stake × nearness × freshness × what such a report tells.
func (w weight) of(r pricing.Report, today calendar.Day) float64 {
	worth := w.item[string(r.Item)] * math.Exp2(-math.Max(0, float64(today-r.Day))/halfLife)
	if len(w.port) > 0 {
		worth *= w.port[string(r.Port)]
	}
	switch {
	case r.Replaces != "":
		return 2 * worth
	case r.Found == pricing.FoundYes:
		return worth * surprise[r.Source]
	}
	return worth * 0.6 // "none", "cheap", "dear": less than a figure; a judgement of ours
}
