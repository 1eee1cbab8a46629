package risk

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// What is drawn. Every draw has a stream of its own, named by what it is
// about, so that nothing decided along the way changes what is met later.
const (
	drawLeg uint64 = iota + 1
	drawPrice
	drawShelf
	drawSeason
	drawPeriod
	drawLife
)

// dice are the draws of one walk.
type dice struct {
	seed, walk uint64
	pcg        *rand.PCG
	rnd        *rand.Rand
}

func newDice(seed uint64) *dice {
	pcg := rand.NewPCG(0, 0)
	return &dice{seed: seed, pcg: pcg, rnd: rand.New(pcg)}
}

func (d *dice) about(what uint64, a, b, c int) *rand.Rand {
	name := what<<56 | uint64(a)<<36 | uint64(b)<<18 | uint64(c)
	d.pcg.Seed(scatter(d.seed+scatter(d.walk)), scatter(name))
	return d.rnd
}

// scatter is the finalizer of SplitMix64: Steele, Lea & Flood 2014, OOPSLA.
func scatter(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// days is the factor on the median days of a leg.
func (d *dice) days(leg int, logSD float64) float64 {
	if logSD == 0 {
		return 1
	}
	return math.Exp(logSD * d.about(drawLeg, leg, 0, 0).NormFloat64())
}

// price is the factor on the expected price.
func (d *dice) price(need, item, stop int, logSD float64) float64 {
	if logSD == 0 {
		return 1
	}
	return math.Exp(logSD*d.about(drawPrice, need, item, stop).NormFloat64() - logSD*logSD/2)
}

// found says whether a thing is on the shelf; stops of one ship agree.
func (d *dice) found(need, item, ship int, available float64) bool {
	return available >= 1 || d.about(drawShelf, need, item, ship).Float64() < available
}

// season is the factor on a need's use over the whole season.
func (d *dice) season(need int, cv float64) float64 {
	return gamma(d.about(drawSeason, need, 0, 0), cv)
}

// period is the factor on a need's use over so many days.
func (d *dice) period(need, period int, dayCV, days float64) float64 {
	if days <= 0 {
		return 1
	}
	return gamma(d.about(drawPeriod, need, period, 0), dayCV/math.Sqrt(max(days, 1)))
}

func gamma(r *rand.Rand, cv float64) float64 {
	if cv == 0 {
		return 1
	}
	shape := 1 / (cv * cv)
	return distuv.Gamma{Alpha: shape, Beta: shape, Src: r}.Rand()
}

// life is the factor on the days a lot keeps.
func (d *dice) life(need, item, stop int, logSD float64) float64 {
	if logSD == 0 {
		return 1
	}
	return math.Exp(logSD * d.about(drawLife, need, item, stop).NormFloat64())
}
