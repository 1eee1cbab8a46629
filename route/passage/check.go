package passage

import (
	"fmt"
	"math"

	"hardtack/pricing/wording"
	"hardtack/route"
)

// check refuses what makes no sense whatever the ports are.
func check(v route.Voyage) error {
	if len(v.Stops) < 2 {
		return wrong(len(v.Stops), "not there: a voyage has two stops or more, this one has %d", len(v.Stops))
	}
	if !between(v.SpeedKn, 0, mostKn) {
		return wrong(0, "speed_kn %v: want 0 to %d knots", v.SpeedKn, mostKn)
	}
	for i, stop := range v.Stops {
		if err := checkStop(i, stop); err != nil {
			return err
		}
		if i+1 < len(v.Stops) {
			if err := checkLeg(i, stop.Leg); err != nil {
				return err
			}
		}
	}
	return nil
}

func checkStop(i int, stop route.Stop) error {
	switch {
	case !between(stop.StayDays, 0, 3660):
		return wrong(i, "%w", wording.Fail("fault.stay", wording.Text(fmt.Sprint(stop.StayDays))))
	case !between(stop.Ashore, 0, 1):
		return wrong(i, "%w", wording.Fail("fault.ashore", wording.Text(fmt.Sprint(stop.Ashore))))
	case stop.TripCost != nil && !between(*stop.TripCost, 0, 1e12):
		return wrong(i, "trip_cost %v: want 0 or more", *stop.TripCost)
	case stop.CarryKg != nil && !between(*stop.CarryKg, 0, 1e6):
		return wrong(i, "carry_kg %v: want 0 to 1,000,000", *stop.CarryKg)
	case !stop.Arrive.IsZero() && !stop.Depart.IsZero() && stop.Depart < stop.Arrive:
		return wrong(i, "%w", wording.Fail("fault.departs", wording.Day(stop.Depart), wording.Day(stop.Arrive)))
	}
	return nil
}

func checkLeg(i int, leg route.Leg) error {
	switch {
	case !between(float64(leg.DistanceNM), 0, 30000):
		return wrong(i, "leg.distance_nm %v: want 0 to 30000", leg.DistanceNM)
	case !between(leg.SpeedKn, 0, mostKn):
		return wrong(i, "leg.speed_kn %v: want 0 to %d knots", leg.SpeedKn, mostKn)
	case !between(leg.Days, 0, 1000):
		return wrong(i, "leg.days %v: want 0 to 1000", leg.Days)
	case leg.ReserveDays != nil && !between(*leg.ReserveDays, 0, 1000):
		return wrong(i, "leg.reserve_days %v: want 0 to 1000", *leg.ReserveDays)
	}
	for k, p := range leg.Via {
		if err := p.Check(); err != nil {
			return wrong(i, "leg.via[%d]: %w", k, err)
		}
	}
	return nil
}

// between is false for NaN.
func between(v, lo, hi float64) bool { return v >= lo && v <= hi && !math.IsNaN(v) }
