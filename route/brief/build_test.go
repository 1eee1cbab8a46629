package brief

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing/calendar"
	"hardtack/route/plan"
	"hardtack/route/vessel"
)

func build(t require.TestingT, in Input) (plan.Brief, Notes) {
	b, n, err := Build(in)
	require.NoError(t, err)
	return b, n
}

func needOf(t require.TestingT, b plan.Brief, id string) plan.Need {
	for _, n := range b.Needs {
		if n.ID == id {
			return n
		}
	}
	require.Fail(t, "no need "+id)
	return plan.Need{}
}

func itemOf(t require.TestingT, b plan.Brief, id string) plan.Item {
	it, ok := itemsOf(b)[id]
	require.True(t, ok, "no item %s", id)
	return it
}

// total is all a need uses over the voyage.
func total(b plan.Brief, n plan.Need) float64 {
	sum := 0.0
	for s, stop := range b.Stops {
		sum += n.UseInPort[s] * (stop.Depart - stop.Arrive)
		if s+1 < len(b.Stops) {
			sum += n.UseAtSea[s] * (b.Stops[s+1].Arrive - stop.Depart)
		}
	}
	return sum
}

func TestBuildKeepsTheContract(t *testing.T) {
	t.Parallel()
	b, n := build(t, input())
	require.NoError(t, b.Check())
	require.Len(t, b.Stops, 3)
	require.Equal(t, "EUR", b.Currency)
	for _, need := range b.Needs {
		_, ok := n.Need(need.ID)
		require.True(t, ok, need.ID)
		for _, it := range need.Items {
			_, ok := n.Item(it.ID)
			require.True(t, ok, it.ID)
			for _, o := range it.Offers {
				_, ok := n.Offer(it.ID, o.Stop, o.Pack)
				require.True(t, ok, "%s at %d", it.ID, o.Stop)
			}
		}
	}
}

func TestSameInputSameBrief(t *testing.T) {
	t.Parallel()
	b1, n1 := build(t, input())
	b2, n2 := build(t, input())
	require.Equal(t, b1, b2)
	require.Equal(t, n1, n2)
}

func TestReserveDays(t *testing.T) {
	t.Parallel()
	b, _ := build(t, input())
	require.InDelta(t, 3.6, b.Stops[0].ReserveDays, 1e-9) // 30 % of the ocean leg, more than 15 − 12
	require.InDelta(t, 7, b.Stops[1].ReserveDays, 1e-9)   // wanted aboard at the end
	in := input()
	in.Options.EndDays = ptr(0.0)
	in.Itinerary.Calls[0].Leg.ReserveDays = ptr(5.0)
	b, _ = build(t, in)
	require.InDelta(t, 5, b.Stops[0].ReserveDays, 1e-9) // as the skipper says
	require.InDelta(t, 2, b.Stops[1].ReserveDays, 1e-9) // coastal
}

func TestTheEndsReserveIsNotForWhatIsTakenThere(t *testing.T) {
	t.Parallel()
	in := input()
	b, n := build(t, in)
	rice, meat := needOf(t, b, "rice"), needOf(t, b, "meat")
	require.InDelta(t, 7*rice.UseAtSea[1], rice.Reserve[1], 1e-9)
	require.InDelta(t, (n.Legs[1].Long-1)*meat.UseAtSea[1], meat.Reserve[1], 1e-9) // meat is taken in Brest
}

func TestShopDaysSplitAStay(t *testing.T) {
	t.Parallel()
	in := input()
	whole, _ := build(t, in)
	in.Itinerary.Calls[0].ShopDays = []calendar.Day{day("2027-05-02"), day("2027-05-03"), day("2027-05-05")}
	b, n := build(t, in)
	require.Len(t, b.Stops, 3+3) // shut, open two days, shut, open one day
	open := 0
	for s, stop := range n.Stops {
		if stop.Open && stop.Call == 0 {
			open++
		}
		for _, o := range itemOf(t, b, "apple").Offers {
			require.True(t, o.Stop != s || stop.Open)
		}
	}
	require.Equal(t, 2, open)
	for _, need := range whole.Needs {
		require.InDelta(t, total(whole, need), total(b, needOf(t, b, need.ID)), 1e-9, need.ID)
	}
}

func TestSplitKeepsTotalUse(t *testing.T) {
	t.Parallel()
	in := input()
	in.Crew.Persons[1].Aboard = []vessel.Span{{To: day("2027-05-03")}, {From: day("2027-05-20")}}
	whole, _ := build(t, in)
	rapid.Check(t, func(t *rapid.T) {
		in := in
		in.Itinerary = season()
		for c := range in.Itinerary.Calls {
			for range rapid.IntRange(0, 4).Draw(t, "days") {
				d := day("2027-05-01") + calendar.Day(rapid.IntRange(0, 27).Draw(t, "day"))
				in.Itinerary.Calls[c].ShopDays = append(in.Itinerary.Calls[c].ShopDays, d)
			}
		}
		b, _ := build(t, in)
		for _, need := range whole.Needs {
			require.InDelta(t, total(whole, need), total(b, needOf(t, b, need.ID)), 1e-6, need.ID)
		}
	})
}

func TestALateShipIsProvidedFor(t *testing.T) {
	t.Parallel()
	in := input()
	in.Itinerary.Calls[0].Depart, in.Itinerary.Calls[1].Arrive = 25, 37
	in.Itinerary.Calls[1].Depart, in.Itinerary.Calls[2].Arrive, in.Itinerary.Calls[2].Depart = 40, 41, 44
	in.Itinerary.Calls[0].ShopDays = []calendar.Day{day("2027-05-01"), day("2027-05-22")}
	b, n := build(t, in)
	require.Len(t, b.Stops, 4+2)
	require.InDelta(t, 20.0/3, n.Legs[1].ShipWait, 1e-9) // shut from day 1 to day 21
	rice := needOf(t, b, "rice")
	require.InDelta(t, n.Legs[1].ShipWait*rice.UseInPort[2], rice.Reserve[1], 1e-9)
}

func TestBadInput(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name string
		mess func(*Input)
		is   error
		says string
	}{
		{"one stop", func(in *Input) { in.Itinerary.Calls, in.Itinerary.Ways = in.Itinerary.Calls[:1], nil }, ErrInput, "1 stops"},
		{"unknown port", func(in *Input) { in.Itinerary.Calls[1].Port = "XXXXX" }, ErrInput, `stops[1].port: "XXXXX"`},
		{"nobody aboard", func(in *Input) { in.Crew.Persons = nil }, vessel.ErrInvalid, "at least one person"},
		{"misspelt allergy", func(in *Input) { in.Crew.Persons[0].NotEating = []string{"peanutz"} }, vessel.ErrInvalid, "peanutz"},
		{"bad vessel", func(in *Input) { in.Vessel.WaterTankL = -1 }, vessel.ErrInvalid, "water_tank_l"},
		{"times run backwards", func(in *Input) { in.Itinerary.Calls[1].Arrive = 1 }, plan.ErrMalformed, "stops[1].arrive"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			in := input()
			tt.mess(&in)
			_, _, err := Build(in)
			require.ErrorIs(t, err, tt.is)
			require.ErrorContains(t, err, tt.says)
		})
	}
}
