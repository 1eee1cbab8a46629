package estimate

import (
	"math"

	"hardtack/pricing/calendar"
)

// Prices of what grows follow the year: every category has, on each side of
// the equator, two harmonics of it.
const (
	waves       = 4 // cos and sin, of a year and of half a year
	startSeason = 0.04
)

// seasons are the yearly waves by category and side of the equator, northern
// first.
type seasons struct {
	wave    [][waves]float64
	season2 float64 // variance of a wave's coefficient
}

func newSeasons(categories int) seasons {
	return seasons{make([][waves]float64, 2*categories), startSeason * startSeason}
}

// phases are the waves' values on a day.
func phases(day int32) [waves]float64 {
	const year = 365.2425
	s, c := math.Sincos(2 * math.Pi * float64(day) / year)
	return [waves]float64{c, s, c*c - s*s, 2 * c * s}
}

func (s *seasons) at(group int, p [waves]float64) (y float64) {
	for k, x := range p {
		y += x * s.wave[group][k]
	}
	return y
}

// seasonOf is the group of waves of a cell.
func (f *fit) seasonOf(port, item int32) int {
	g := 2 * int(f.categoryOf[item])
	if f.portOf[port].South {
		g++
	}
	return g
}

// season is what the time of the year makes of a cell's price.
func (f *fit) season(port, item int32, day calendar.Day) float64 {
	return f.seasons.at(f.seasonOf(port, item), phases(int32(day)))
}

// learnSeasons moves the waves to where residuals that leave their report out
// are balanced by the prior: the equations of generalised least squares, for
// which a residual over its variance is what the inverse covariance makes of
// all. The information about each coefficient scales the step. A country's
// category has one say per step of time.
func (f *fit) learnSeasons() {
	type heard struct{ pull, info [waves]float64 }
	of := make([]heard, len(f.wave))
	group := func(c *cell) int32 { return int32(f.seasonOf(c.port, c.item)) }
	f.together(group, f.countryOfCell, tideStep, f.shock2, func(group int32, step int, off, w float64) {
		h := &of[group]
		w = 1 / (1/w + f.lands.tide2) // the country may have been dear or cheap just then
		for j, x := range phases(int32(f.in.Day) - int32(step*tideStep+tideStep/2)) {
			h.pull[j] += w * x * off
			h.info[j] += w * x * x
		}
	})
	var seen spread
	for g := range of {
		for j := range waves {
			h := &of[g]
			if h.info[j] > 0 {
				f.wave[g][j] = (h.pull[j] + h.info[j]*f.wave[g][j]) / (h.info[j] + 1/f.season2)
				seen.add(f.wave[g][j], h.info[j], f.season2)
			}
		}
	}
	f.season2 = seen.likeliest(f.season2, startSeason*startSeason)
}

// hearing is the weight of a report's residual that leaves it out, its
// reporter's among it: what liars add must not become a season.
func (f *fit) hearing(o *sight) float64 {
	v := max(o.offSD2+f.noise2*(f.loose[o.reporter]-1), f.noise2/2)
	return o.share * studentWeight(o.off*o.off/v) * min(1, f.crowd.weight(o.reporter)) / v
}
