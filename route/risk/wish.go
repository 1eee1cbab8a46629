package risk

import (
	"context"
	"fmt"
	"slices"

	"hardtack/pricing/item"
	"hardtack/route/plan"
)

// Keeping is the reserve that meets a wished chance at least cost: days of use
// to be left on every arrival, class by class.
type Keeping struct {
	Wished  float64        `json:"wished"` // chance that a thing lasts through a stay or leg it is used on
	Classes []ClassKeeping `json:"classes"`
	Spent   Mean           `json:"spent"`   // more money spent than with the brief's own reserves
	Missing Mean           `json:"missing"` // change in what going without counts; below 0 is better
}

// ClassKeeping is the reserve of a class. Luxuries get none.
type ClassKeeping struct {
	Class   item.Necessity `json:"class"`
	Wished  float64        `json:"wished"` // for safety never less than it is allowed to be left to chance
	Days    float64        `json:"days"`
	Before  float64        `json:"before"`  // chance reached with the brief's own reserves
	Reached float64        `json:"reached"` // with these
	Bare    float64        `json:"bare"`    // chance of what no shelf passed had: no reserve helps against it
	Met     bool           `json:"met"`     // else no reserve looked at reaches it: room, keeping or shelves forbid
}

// keepDays are the reserves looked at.
var keepDays = [...]float64{0, 1, 2, 3, 4, 5, 7, 10, 14, 21, 30}

// Keep finds the reserve that meets a wished chance, 0 < wished < 1. The same
// plan is walked, shopped for with care, with ever better chosen days for all
// classes at once; what is told of the days chosen comes from other seasons
// than those they were chosen by. Errors are those of Walk, ErrInput for wished.
func Keep(ctx context.Context, b plan.Brief, d Doubt, p plan.Plan, wished float64, o Options) (Keeping, error) {
	if !(wished > 0 && wished < 1) {
		return Keeping{}, fmt.Errorf("reserve for a chance of %v: %w: want above 0 and below 1", wished, ErrInput)
	}
	o.Policy = Careful
	k := keeper{ctx: ctx, brief: b, doubt: d, plan: p, options: o}
	if err := d.check(b); err != nil {
		return Keeping{}, fmt.Errorf("reserve: %w", err)
	}
	for _, class := range []item.Necessity{item.Safety, item.Staple, item.Comfort} {
		if slices.ContainsFunc(d.Needs, func(n NeedDoubt) bool { return n.Class == class }) {
			s := search{class: class, wished: wished, high: len(keepDays)}
			if class == item.Safety {
				s.wished = max(wished, 1-Allowed(class))
			}
			k.searches = append(k.searches, s)
		}
	}
	if err := k.narrow(); err != nil {
		return Keeping{}, err
	}
	k.options.Seed++
	return k.tell(wished)
}

type keeper struct {
	ctx      context.Context
	brief    plan.Brief
	doubt    Doubt
	plan     plan.Plan
	options  Options
	searches []search
}

// search narrows the days of a class down: what is below low is too little.
type search struct {
	class         item.Necessity
	wished        float64
	low, mid      int // of keepDays
	high          int
	best, reached int // days that reached most, should none be enough, and how much in thousandths
}

// narrow tries no reserve at all, then halves the days in question of all
// classes with each walk.
func (k *keeper) narrow() error {
	for slices.ContainsFunc(k.searches, search.open) {
		w, err := k.walk(k.days())
		if err != nil {
			return err
		}
		for i := range k.searches {
			if s := &k.searches[i]; s.open() {
				s.learn(1 - w.periods(s.class).Short)
			}
		}
	}
	return nil
}

func (s search) open() bool { return s.low < s.high }

func (s *search) learn(reached float64) {
	if r := int(1000 * reached); r > s.reached {
		s.best, s.reached = s.mid, r
	}
	if reached >= s.wished {
		s.high = s.mid
	} else {
		s.low = s.mid + 1
	}
	s.mid = (s.low + s.high) / 2
}

// chosen are the days to be looked at next or, all being looked at, settled on.
func (s search) chosen() float64 {
	if !s.open() && !s.met() {
		return keepDays[s.best]
	}
	return keepDays[min(s.mid, len(keepDays)-1)]
}

func (s search) met() bool { return s.low < len(keepDays) }

func (k *keeper) days() map[item.Necessity]float64 {
	days := map[item.Necessity]float64{}
	for _, s := range k.searches {
		days[s.class] = s.chosen()
	}
	return days
}

func (k *keeper) walk(days map[item.Necessity]float64) (*Walked, error) {
	return Walk(k.ctx, k.keeping(days), k.doubt, k.plan, k.options)
}

// keeping is the brief with so many days of reserve on every arrival. What a
// brief says itself of the reserve of safety is not lowered: it may be law.
func (k *keeper) keeping(days map[item.Necessity]float64) plan.Brief {
	out := k.brief
	out.Needs = slices.Clone(out.Needs)
	for n := range out.Needs {
		need, class := &out.Needs[n], k.doubt.Needs[n].Class
		due, wanted := days[class]
		if !wanted {
			continue
		}
		own := need.Reserve
		need.Reserve = nil
		for l, perDay := range need.UseAtSea {
			amount := due * perDay
			if class == item.Safety {
				least := k.brief.Stops[l].ReserveDays * perDay
				if own != nil {
					least = own[l]
				}
				amount = max(amount, least)
			}
			need.Reserve = append(need.Reserve, amount)
		}
		need.ReserveMissingCost = max(need.ReserveMissingCost, dearest(*need, len(k.brief.Stops)))
	}
	return out
}

// dearest is the most a brief may count for a reserve lacking.
func dearest(n plan.Need, stops int) float64 {
	dislike := 0.0
	for _, it := range n.Items {
		dislike = max(dislike, it.TasteCost/it.Yield)
	}
	return max(n.MissingCost-dislike, 0) / float64(max(stops-1, 1)) * (1 - 1e-9)
}

// tell walks with the brief's own reserves and with those chosen.
func (k *keeper) tell(wished float64) (Keeping, error) {
	days := k.days()
	own, err := k.walk(nil)
	if err != nil {
		return Keeping{}, err
	}
	with, err := k.walk(days)
	if err != nil {
		return Keeping{}, err
	}
	out := Keeping{Wished: wished, Spent: paired(own, with, (*outcome).spent),
		Missing: paired(own, with, func(o *outcome) float64 { return o.missing })}
	for _, s := range k.searches {
		r := with.periods(s.class)
		out.Classes = append(out.Classes, ClassKeeping{Class: s.class, Wished: s.wished, Days: days[s.class],
			Before: 1 - own.periods(s.class).Short, Reached: 1 - r.Short, Bare: r.Bare, Met: s.met()})
	}
	return out, nil
}

// paired is the mean difference on seasons that met the same.
func paired(first, second *Walked, of func(*outcome) float64) Mean {
	x := make([]float64, first.Walks)
	for i := range x {
		x[i] = of(&second.outcomes[i]) - of(&first.outcomes[i])
	}
	mean, se := meanError(x)
	return Mean{mean, se}
}
