package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/pricing/item"
	"hardtack/route/plan"
)

// read asks of a plan what a skipper would.
func (s sailed) read() {
	s.t.Helper()
	s.feeds()
	s.wastesNothing()
	s.fits()
	s.varies()
	s.leavesTimeAshore()
	s.staysSafe()
	s.eatsFreshFirst()
	s.keepsFigures()
}

// feeds: energy within 15 % of the need, staples not missing, and the weight
// of food that is common practice (no source: 2–3 kg per adult and day, less
// where small children eat or part of it is dry).
func (s sailed) feeds() {
	r := s.p.Review
	require.InEpsilon(s.t, r.KcalNeed, r.Kcal, 0.15, "energy")
	kg := 0.0
	eaten := s.eaten()
	for id, amount := range eaten {
		if g := s.goods(id); g.Kcal > 0 && g.Category != "drink" {
			kg += amount * g.Kg
		}
	}
	require.InDelta(s.t, 2, kg/r.PersonDays, 0.8, "kg of food per person and day")
	use, short := map[string]float64{}, map[string]float64{}
	missing := s.missing()
	for _, n := range s.p.Notes.Needs {
		if n.Class == item.Safety || n.Class == item.Staple {
			use[n.Group] += api.UseOf(s.p.Brief, s.needs[n.ID]) / n.PerUnit
			short[n.Group] += missing[n.ID] / n.PerUnit
		}
	}
	for g, x := range short {
		require.LessOrEqual(s.t, x, 0.15*use[g], "going without %s", g)
	}
}

func (s sailed) missing() map[string]float64 {
	out := map[string]float64{}
	for _, m := range s.p.Plan.Missing {
		out[m.Need] += m.Amount
	}
	return out
}

func (s sailed) eaten() map[string]float64 {
	out := map[string]float64{}
	for _, b := range s.p.Plan.Purchases {
		out[b.Item] += b.EatenInPort
	}
	for _, d := range s.p.Plan.Draws {
		out[d.Item] += d.Amount
	}
	return out
}

// wastesNothing: hardly anything is taken at a border or spoils.
func (s sailed) wastesNothing() {
	r := s.p.Review
	require.Less(s.t, r.LostShare(r.Surrendered), 0.02, "taken away: %v", r.Surrendered)
	require.Less(s.t, r.LostShare(r.Spoilt), 0.01, "spoilt: %v", r.Spoilt)
}

func (s sailed) fits() {
	for _, f := range s.p.Review.Fill {
		require.LessOrEqual(s.t, f.Litres, f.Room+1e-6, f.Space)
	}
}

// varies: no item is above half of its group, but for what the others go short
// by, and where somebody's diet puts more than half of the group's use on one
// need. Luxuries may be whatever is cheapest.
func (s sailed) varies() {
	group, most := map[string]float64{}, map[string]float64{}
	byNeed := map[string]float64{}
	for _, n := range s.p.Notes.Needs {
		if n.Class == item.Luxury {
			continue
		}
		use := api.UseOf(s.p.Brief, s.needs[n.ID]) / n.PerUnit
		base, _, _ := strings.Cut(n.ID, "/")
		byNeed[base] += use
		group[n.Group] += use
		most[n.Group] = max(most[n.Group], byNeed[base])
	}
	for _, x := range s.p.Review.Shares {
		if half := most[x.Group] / group[x.Group]; half < 1 { // not for what one need is all of
			require.LessOrEqual(s.t, x.Share, max(0.5, half)+0.05, "%s of %s", x.Item, x.Group)
		}
	}
}

// leavesTimeAshore: half a day for each trip, and never all of the stay.
func (s sailed) leavesTimeAshore() {
	for _, x := range s.p.Plan.Trips {
		stop := s.p.Brief.Stops[x.Stop]
		require.LessOrEqual(s.t, float64(x.Count)/2, stop.Depart-stop.Arrive, "trips in %s", stop.Port)
	}
}

// staysSafe: water and gas outlast the long passage.
func (s sailed) staysSafe() {
	require.NotEmpty(s.t, s.p.Endurance)
	for _, e := range s.p.Endurance {
		require.True(s.t, e.Enough, "%s lasts %.1f days, the long passage %.1f", e.Name, e.Lasts, e.Long)
	}
	for _, x := range s.p.Plan.Unreachable {
		n, _ := s.p.Notes.Need(x.Need)
		require.NotEqual(s.t, item.Safety, n.Class, "%s in %s", n.Name, x.Period)
	}
}

// eatsFreshFirst: what keeps less than a month is bought at the last stop
// before it is eaten at sea, but for a few days.
func (s sailed) eatsFreshFirst() {
	bought := map[string]plan.Purchase{}
	for _, b := range s.p.Plan.Purchases {
		bought[b.ID] = b
	}
	kg, kgDays := 0.0, 0.0
	for _, d := range s.p.Plan.Draws {
		b, ok := bought[d.Lot]
		leg, atSea := strings.CutPrefix(d.Period, "leg ")
		if !ok || !atSea || s.longest(d.Item, b.Stop) >= 30 {
			continue
		}
		var l int
		_, err := fmt.Sscan(leg, &l)
		require.NoError(s.t, err)
		x := d.Amount * s.goods(d.Item).Kg
		kg, kgDays = kg+x, kgDays+x*(s.p.Brief.Stops[l].Depart-s.p.Brief.Stops[b.Stop].Depart)
	}
	require.Positive(s.t, kg, "nothing fresh goes to sea")
	require.LessOrEqual(s.t, kgDays/kg, s.freshDays, "mean days since the shop when a leg begins")
}

// longest is how long an item bought at a stop keeps where it keeps best.
func (s sailed) longest(id string, stop int) float64 {
	best := 0.0
	for _, k := range s.items[id].Keeps {
		best = max(best, k.Days[stop])
	}
	return best
}

// late is the share, by weight, of the produce eaten at sea that keeps longer
// than so many days.
func (s sailed) late(days float64) float64 {
	late, all := 0.0, 0.0
	for _, d := range s.p.Plan.Draws {
		if g := s.goods(d.Item); strings.HasPrefix(d.Period, "leg ") && strings.HasPrefix(g.ShelfClass, "prod") {
			all += d.Amount * g.Kg
			if s.longest(d.Item, 0) > days {
				late += d.Amount * g.Kg
			}
		}
	}
	return late / all
}

// cheap: what keeps to the end of the voyage is bought below the mean price
// along the way.
func (s sailed) cheap() {
	paid, mean := 0.0, 0.0
	stops := s.p.Brief.Stops
	end := stops[len(stops)-1].Depart
	for _, b := range s.p.Plan.Purchases {
		it := s.items[b.Item]
		if stops[b.Stop].Depart+s.longest(b.Item, b.Stop) < end || len(b.Stowed) == 0 {
			continue
		}
		sum := 0.0
		for _, o := range it.Offers {
			sum += o.Price / o.Pack
		}
		paid += float64(b.Packs) * b.Price
		mean += float64(b.Packs) * b.Pack * sum / float64(len(it.Offers))
	}
	require.Less(s.t, paid, mean)
}

// keepsFigures: the plan is not worse than the one kept, and the bound not
// weaker. A better planner passes and is written down with GOLDEN=write. What
// the plan rests on, and where and when it stops, is as it was.
func (s sailed) keepsFigures() {
	name := filepath.Join(scenarioFiles, s.name, strings.ToLower(s.p.Voyage)+".plan.txt")
	got := took.ReplaceAllString(s.print, "")
	if os.Getenv("GOLDEN") == "write" {
		require.NoError(s.t, os.WriteFile(name, []byte(got), 0o644))
	}
	b, err := os.ReadFile(name)
	require.NoError(s.t, err)
	was, is := figuresOf(s.t, string(b)), figuresOf(s.t, got)
	require.LessOrEqual(s.t, is.total, was.total*1.01, "the kept plan was cheaper: %s", name)
	require.GreaterOrEqual(s.t, is.bound, was.bound*0.99, "the kept bound was stronger: %s", name)
	require.Equal(s.t, was.rest, is.rest)
	require.InDelta(s.t, s.p.Plan.Cost.Total, is.total, 0.01)
}

var (
	took  = regexp.MustCompile(` Found in [0-9.]+ s\.`)
	total = regexp.MustCompile(`the plan counts ([0-9.]+);`)
	bound = regexp.MustCompile(`no plan can count less than ([0-9.]+),`)
)

type keptFigures struct {
	total, bound float64
	rest         string
}

func figuresOf(t *testing.T, print string) keptFigures {
	t.Helper()
	number := func(re *regexp.Regexp) float64 {
		m := re.FindStringSubmatch(print)
		require.Len(t, m, 2, "%s in:\n%s", re, print)
		x := math.NaN()
		_, err := fmt.Sscan(m[1], &x)
		require.NoError(t, err)
		return x
	}
	_, rest, ok := strings.Cut(print, "What this rests on:")
	require.True(t, ok, print)
	return keptFigures{number(total), number(bound), rest}
}

// kept compares a print with the file it is kept in.
func kept(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join(scenarioFiles, name)
	if os.Getenv("GOLDEN") == "write" {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Equal(t, string(want), got)
}
