// Package keeping says how long things stay good where they are stowed.
//
// Units: °C; days of good quality, from a fresh purchase; latitudes in degrees,
// north positive. Days speak of quality, never of safety: when in doubt, throw
// it out.
//
// Method: the share of life used is ∫ dt / days(T(t)), and the thing is spoilt
// at 1. days(T) takes the catalogue's listed days at their temperatures as they
// are; between and beyond them a Q10 curve, or for fresh produce the relative
// rates of USDA Handbook 66, only fill the gaps.
package keeping

import (
	"math"

	"hardtack/pricing/item"
)

const (
	// mostDays caps every promise of quality.
	mostDays = 3650
	// frozenUpTo is the warmest that still counts as the freezer's −18 °C.
	frozenUpTo = -15
	// chillReach is how far above its last listed temperature a thing that is
	// listed with 0 days when warmer may still be held: a yacht's fridge runs
	// at 6–8 °C where the tables say 4. Common practice, no source.
	chillReach = 4
	// chocolateMelts in °C: common practice, no source.
	chocolateMelts = 32
	// hotFrom is where field rations begin to age much faster than one Q10
	// says: 36 months at 26.7 °C, 6 at 37.8, 1 at 48.9, an implied Q10 of 5 (US
	// Army Soldier Systems Center, quoted; NWCG cache standard).
	hotFrom, hotQ10 = 35, 5
)

// DaysAt is how long an item keeps at a constant temperature: 0 where it must
// not be held, false where no value is known, which is not "for ever".
func DaysAt(it item.Item, t float64) (float64, bool) {
	a := agingOf(it)
	return a.days(t)
}

// aging is an item's list made ready to be asked for many temperatures.
type aging struct {
	frozen *float64 // days listed
	melts  float64  // °C from which it must not be held
	known  []point
	curve
}

func agingOf(it item.Item) aging {
	a := aging{frozen: it.Shelf.AtM18, melts: math.Inf(1), known: points(it.Shelf), curve: curveOf(it)}
	if it.ShelfClass == "choc" {
		a.melts = chocolateMelts
	}
	return a
}

// days are as DaysAt.
func (a *aging) days(t float64) (float64, bool) {
	switch {
	case t <= frozenUpTo:
		return listed(a.frozen)
	case t < 0:
		return 0, false // neither the freezer's value nor any other holds here
	case t >= a.melts:
		return 0, true
	case len(a.known) == 0:
		return 0, false
	}
	for k, p := range a.known {
		if t == p.t {
			return p.days, true
		}
		if t < p.t {
			if k == 0 {
				return a.below(p, t)
			}
			return a.between(a.known[k-1], p, t), true
		}
	}
	return a.beyond(a.known[len(a.known)-1], t), true
}

func listed(days *float64) (float64, bool) {
	if days == nil {
		return 0, false
	}
	return *days, true
}

// point is a listed value.
type point struct{ t, days float64 }

// points are the values listed above freezing, coldest first.
func points(s item.Shelf) []point {
	var out []point
	for _, p := range []struct {
		t    float64
		days *float64
	}{{4, s.At4}, {16, s.At16}, {20, s.At20}, {30, s.At30}} {
		if p.days != nil {
			out = append(out, point{p.t, *p.days})
		}
	}
	return out
}

// curve fills the gaps of one item's list.
type curve struct {
	rate    func(t float64) float64 // relative to any one temperature
	chills  bool                    // suffers below chillingBelow
	produce bool
}

func curveOf(it item.Item) curve {
	if it.Shelf.Produce {
		return curve{rate: produceRate, chills: it.ShelfClass == "prodc", produce: true}
	}
	return curve{rate: func(t float64) float64 { return q10Rate(max(it.Shelf.Q10, 1), t) }}
}

// q10Rate is 1 at 20 °C. Above hotFrom it rises at least by hotQ10, save for
// what does not age at all.
func q10Rate(q10, t float64) float64 {
	if q10 == 1 || t <= hotFrom {
		return math.Pow(q10, (t-20)/10)
	}
	return math.Pow(q10, (hotFrom-20)/10.0) * math.Pow(max(q10, hotQ10), (t-hotFrom)/10)
}

// shift takes a listed value to another temperature along the curve.
func (c curve) shift(p point, t float64) float64 {
	return min(p.days*c.rate(p.t)/c.rate(t), mostDays)
}

// between two listed values: straight in the logarithm of days, which is a
// constant Q10 of its own; through the chilling point where cold hurts.
func (c curve) between(a, b point, t float64) float64 {
	switch {
	case b.days == 0 && t-a.t <= chillReach:
		return c.shift(a, t)
	case a.days == 0 || b.days == 0:
		return 0
	case c.chills && a.t < chillingBelow && b.t > chillingBelow:
		turn := point{chillingBelow, c.shift(b, chillingBelow)}
		if t >= chillingBelow {
			a = turn
		} else {
			b = turn
		}
	}
	share := (t - a.t) / (b.t - a.t)
	return math.Exp(math.Log(a.days)*(1-share) + math.Log(b.days)*share)
}

// below the coldest listed value. What suffers from cold gains nothing below
// its chilling point, and is unknown well below it.
func (c curve) below(p point, t float64) (float64, bool) {
	if c.chills && t < chillingUnknown && p.t > chillingUnknown {
		return 0, false
	}
	if c.chills && t < chillingBelow {
		t = min(chillingBelow, p.t)
	}
	return c.shift(p, t), true
}

// beyond the warmest listed value.
func (c curve) beyond(p point, t float64) float64 {
	if p.days == 0 {
		return 0
	}
	if p.t <= 4 && t-p.t > chillReach && !c.produce {
		return 0 // listed for the fridge alone: nothing is known of it warm
	}
	return c.shift(p, t)
}
