// Package instance makes random briefs for tests and benchmarks of the
// planner. Everything in them is invented.
//
// The recipe is the planning contract's: a price is item level × port level ×
// lognormal noise; most stops sell most items, poor ones fewer than half;
// items keep 5 to 540 days; room is a share of what a plan without limits
// would hold.
package instance

import (
	"fmt"
	"math"
	"math/rand/v2"

	"hardtack/route/plan"
)

// Size says how large a brief is. The zero value is Tiny.
type Size int

// Sizes: needs, of them with alternates; stops; days.
const (
	Tiny   Size = iota // 4, 1; 4; 45
	Small              // 15, 4; 6; 100
	Season             // 60, 15; 14; 250
	Big                // 150, 38; 30; 600
)

// String is the size in lower case, as instances are named.
func (z Size) String() string {
	return [...]string{"tiny", "small", "season", "big"}[z]
}

// Shape says how large a brief is.
type Shape struct {
	Needs, Alternates, Stops int // Alternates counts the needs that have some
	Days                     float64
}

var shapes = [...]Shape{{4, 1, 4, 45}, {15, 4, 6, 100}, {60, 15, 14, 250}, {150, 38, 30, 600}}

// maker draws one brief.
type maker struct {
	*rand.Rand
	Shape
	brief  plan.Brief
	level  []float64 // price level by port
	sells  []float64 // share of items on the shelf by port
	warmth []float64 // factor on lives by port
	strict []bool    // stops that take fresh food
	leg    float64   // mean days of a leg
}

// Random makes the brief of a seed: the same arguments always give the same
// brief, and it always passes Check. A tight brief is the loose one of the
// same seed with half the room and a payload that binds. An unknown size
// panics.
func Random(seed uint64, size Size, tight bool) plan.Brief {
	return draw(seed, uint64(size), shapes[size], tight)
}

// Of is Random for any shape of at least two stops.
func Of(seed uint64, shape Shape, tight bool) plan.Brief {
	return draw(seed, uint64(len(shapes)), shape, tight)
}

func draw(seed, stream uint64, shape Shape, tight bool) plan.Brief {
	m := &maker{Rand: rand.New(rand.NewPCG(seed, stream)), Shape: shape}
	m.brief = plan.Brief{Version: 1, Currency: "EUR", Start: "2027-05-29"}
	m.route()
	m.ports()
	for i, k := range m.kinds() {
		m.brief.Needs = append(m.brief.Needs, m.need(k, i))
	}
	m.room(tight)
	return m.brief
}

// route lays stops out in quarter days: short stays with a long one now and
// then, legs from a day sail to an ocean.
func (m *maker) route() {
	stays, legs := make([]float64, m.Stops), make([]float64, m.Stops-1)
	total := 0.0
	for s := range stays {
		stays[s] = math.Exp(m.normal(1.2, 0.9))
		total += stays[s]
	}
	for l := range legs {
		legs[l] = math.Exp(m.normal(2.2, 0.6))
		total += legs[l]
	}
	day := 0.0
	for s := range stays {
		stop := plan.Stop{Port: fmt.Sprintf("P%02d", s), Arrive: day}
		stop.Depart = day + quarters(stays[s]*m.Days/total)
		day = stop.Depart
		if s < len(legs) {
			leg := quarters(legs[s] * m.Days / total)
			stop.ReserveDays = float64(1 + m.IntN(1+int(min(leg/2, 6))))
			day += leg
			m.leg += leg / float64(len(legs))
		}
		m.brief.Stops = append(m.brief.Stops, stop)
	}
}

// quarters rounds to quarter days, up to the first.
func quarters(days float64) float64 { return max(math.Round(days*4)/4, 0.25) }

// ports draws what each stop is like for a shopper.
func (m *maker) ports() {
	for s := range m.brief.Stops {
		m.level = append(m.level, m.between(0.7, 2.0))
		m.warmth = append(m.warmth, m.between(0.85, 1.15))
		m.strict = append(m.strict, s > 0 && m.chance(0.2))
		sells := 0.85
		if m.chance(0.25) {
			sells = 0.45
		}
		m.sells = append(m.sells, sells)
		if m.chance(0.8) {
			m.brief.Stops[s].TripCost = math.Round(m.between(8, 40))
		}
		if m.chance(0.7) {
			kg := math.Round(m.between(0.7, 1.3) * float64(6+m.Needs))
			m.brief.Stops[s].TripCarryKg = &kg
		}
	}
}

func (m *maker) chance(p float64) bool { return m.Float64() < p }

func (m *maker) between(low, high float64) float64 { return low + (high-low)*m.Float64() }

func (m *maker) normal(mean, sd float64) float64 { return mean + sd*m.NormFloat64() }

// round keeps so many decimals: a document a person can read.
func round(x float64, decimals int) float64 {
	shift := math.Pow10(decimals)
	return math.Round(x*shift) / shift
}
