package keeping

import (
	"math"

	"hardtack/route/vessel"
)

// Temperatures that a boat sets itself, and how much warmer than the air its
// insides are: common practice, no source. A logged temperature always wins.
const (
	fridge     = 7 // a yacht's fridge runs at 6–8 °C, not at the tables' 4
	freezer    = -18
	lockerWarm = 3  // a dry locker over the air
	netWarm    = 1  // an aired net in the cabin
	deckWarm   = 4  // in the sun
	cabinLeast = 12 // people heat where they live
)

// The warmest day of the year north of the equator, as day of the year: the
// air in early August, the sea at the end of it. South of it half a year later.
const (
	warmestAir = 215
	warmestSea = 240
	year       = 365.25
	halfYear   = 183
)

// Climate is the temperature to expect in a kind of space at a latitude on a
// day of the year (1–366), °C. It is a rough seasonal mean over the oceans: the
// sea's yearly mean is taken as 28·cos²(latitude), its half-range as
// 4·sin(2·|latitude|), the air's as 5 instead of 4. Judgement of the trade,
// within about 3 °C of what the oceans have; currents, upwelling and heat
// waves are not in it, so log the lockers.
func Climate(kind vessel.SpaceKind, lat float64, dayOfYear int) float64 {
	switch kind {
	case vessel.Fridge:
		return fridge
	case vessel.Freezer:
		return freezer
	case vessel.Cool, vessel.Tank:
		return max(season(lat, dayOfYear, warmestSea, 4), 1)
	}
	air := season(lat, dayOfYear, warmestAir, 5)
	switch kind {
	case vessel.Net:
		return max(air+netWarm, cabinLeast)
	case vessel.Deck, vessel.GasLocker:
		return max(air+deckWarm, 0)
	}
	return max(air+lockerWarm, cabinLeast)
}

func season(lat float64, dayOfYear, warmest int, halfRange float64) float64 {
	if lat < 0 {
		warmest += halfYear
	}
	phase := 2 * math.Pi * float64(dayOfYear-warmest) / year
	rad := math.Abs(lat) * math.Pi / 180
	return 28*math.Pow(math.Cos(rad), 2) + halfRange*math.Sin(2*rad)*math.Cos(phase)
}
