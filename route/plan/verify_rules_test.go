package plan_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

// Each case breaks one rule of the contract in the hand-made plan; where one
// change must break a second rule or a statement, that is listed too.
func TestVerifyFindsEveryRuleBroken(t *testing.T) {
	t.Parallel()
	require.NoError(t, plan.Verify(handBrief(), handPlan()))
	for _, tt := range []struct {
		name  string
		spoil func(*plan.Brief, *plan.Plan)
		want  []plan.Rule
	}{
		{"other version", func(_ *plan.Brief, p *plan.Plan) { p.Version = 2 }, rules(plan.RuleShape)},
		{"other currency", func(_ *plan.Brief, p *plan.Plan) { p.Currency = "USD" }, rules(plan.RuleShape)},
		{"purchase id twice", func(_ *plan.Brief, p *plan.Plan) { p.Purchases[1].ID = "p1" }, rules(plan.RuleShape)},
		{"purchase named like a lot aboard", func(_ *plan.Brief, p *plan.Plan) { p.Purchases[5].ID = "aboard 0" }, rules(plan.RuleShape)},
		{"amount is no number", func(_ *plan.Brief, p *plan.Plan) { p.Draws[0].Amount = math.NaN() }, rules(plan.RuleShape)},
		{"negative stowage", func(_ *plan.Brief, p *plan.Plan) { p.Purchases[0].Stowed[0].Amount = -1 }, rules(plan.RuleShape)},
		{"negative discard", func(_ *plan.Brief, p *plan.Plan) { p.Discards[0].Amount = -0.1 }, rules(plan.RuleShape)},
		{"infinite bound", func(_ *plan.Brief, p *plan.Plan) { p.Bound = math.Inf(-1) }, rules(plan.RuleShape)},
		{"period unknown", func(_ *plan.Brief, p *plan.Plan) { p.Draws[0].Period = "stay 00" }, rules(plan.RuleShape)},

		{"item unknown", func(_ *plan.Brief, p *plan.Plan) { p.Purchases[5].Item = "corn" }, []plan.Rule{plan.RuleOffer, plan.RuleMissing, plan.RuleCost, plan.RuleGap}},
		{"item of another need", func(_ *plan.Brief, p *plan.Plan) { p.Purchases[5].Need = "fruit" }, []plan.Rule{plan.RuleOffer, plan.RuleMissing, plan.RuleCost, plan.RuleGap}},
		{"pack not offered", func(_ *plan.Brief, p *plan.Plan) { p.Purchases[5].Pack = 1 }, []plan.Rule{plan.RuleOffer, plan.RuleMissing, plan.RuleCost, plan.RuleGap}},
		{"stop past the route", func(_ *plan.Brief, p *plan.Plan) { p.Purchases[5].Stop = 3 }, []plan.Rule{plan.RuleOffer, plan.RuleMissing, plan.RuleCost, plan.RuleGap}},
		{"price not the offer's", func(_ *plan.Brief, p *plan.Plan) { p.Purchases[5].Price = 3.99 }, rules(plan.RuleOffer)},
		{"more packs than there are", func(b *plan.Brief, _ *plan.Plan) { b.Needs[0].Items[0].Offers[0].Limit = ptr(4) }, rules(plan.RuleLimit)},
		{"a limit holds for two purchases together", splitPurchase, rules(plan.RuleLimit)},
		{"fewer packs than wished", func(b *plan.Brief, _ *plan.Plan) { b.Needs[0].Items[0].Offers[0].Min = 6 }, rules(plan.RuleMin)},
		{"wish left out altogether", func(b *plan.Brief, _ *plan.Plan) {
			b.Needs[0].Items[1].Offers = append(b.Needs[0].Items[1].Offers, plan.Offer{Stop: 2, Pack: 1, Price: 1, Min: 1})
		}, rules(plan.RuleMin)},
		{"more used than bought", func(b *plan.Brief, p *plan.Plan) { b.Needs[0].Items[0].Offers[2].Pack, p.Purchases[5].Pack = 0.4, 0.4 }, rules(plan.RulePacks)},
		{"more stowed than bought", func(_ *plan.Brief, p *plan.Plan) { p.Purchases[3].Stowed[0].Amount = 3.7 }, rules(plan.RulePacks)},

		{"stowed where it does not keep", func(b *plan.Brief, _ *plan.Plan) { b.Needs[1].Items[0].Keeps[0].Space = "dry" },
			[]plan.Rule{plan.RuleStowed, plan.RuleLot, plan.RuleMissing, plan.RuleCost, plan.RuleGap}},
		{"carried away from the last stop", func(_ *plan.Brief, p *plan.Plan) {
			p.Purchases[5].Packs, p.Purchases[5].Stowed = 2, []plan.Stowed{{Space: "dry", Amount: 0.5}}
		}, []plan.Rule{plan.RuleStowed, plan.RuleTrips, plan.RuleCost, plan.RuleGap}},
		{"over-full space", func(b *plan.Brief, _ *plan.Plan) { b.Stowage.Spaces[0].Litres = 5.9 }, rules(plan.RuleRoom)},
		{"over-full fridge", func(b *plan.Brief, _ *plan.Plan) { b.Stowage.Spaces[1].Litres = 2.9 }, rules(plan.RuleRoom)},
		{"too heavy", func(b *plan.Brief, _ *plan.Plan) { b.Stowage.PayloadKg = ptr(8.4) }, rules(plan.RulePayload)},
		{"too few trips", func(_ *plan.Brief, p *plan.Plan) { p.Trips[0].Count, p.Cost.Trips, p.Cost.Total = 1, 20, 111.52 }, []plan.Rule{plan.RuleTrips, plan.RuleCost}},
		{"no trip although carried", func(_ *plan.Brief, p *plan.Plan) { p.Trips = p.Trips[:1] }, rules(plan.RuleTrips)},
		{"more trips than needed", func(_ *plan.Brief, p *plan.Plan) { p.Trips[1].Count = 2 }, rules(plan.RuleTrips)},
		{"a trip for nothing", func(_ *plan.Brief, p *plan.Plan) { p.Trips = append(p.Trips, plan.Trip{Stop: 2, Count: 1}) }, rules(plan.RuleTrips)},
		{"trips past the route", func(_ *plan.Brief, p *plan.Plan) { p.Trips = append(p.Trips, plan.Trip{Stop: 3}) }, rules(plan.RuleTrips)},

		{"lot unknown", func(_ *plan.Brief, p *plan.Plan) { p.Discards[0].Lot = "p9" }, rules(plan.RuleLot)},
		{"lot in another space", func(_ *plan.Brief, p *plan.Plan) { p.Discards[0].Space = "fridge" }, rules(plan.RuleLot)},
		{"lot of another item", func(_ *plan.Brief, p *plan.Plan) { p.Discards[0].Item = "rice-tin" }, rules(plan.RuleLot)},
		{"lot aboard unknown", func(_ *plan.Brief, p *plan.Plan) { p.Discards[0].Lot = "aboard 1" }, rules(plan.RuleLot)},
		{"drawn for another need", func(_ *plan.Brief, p *plan.Plan) { p.Draws[4].Need = "fruit" },
			[]plan.Rule{plan.RuleLot, plan.RuleMissing, plan.RuleCost, plan.RuleGap}},
		{"more drawn than the lot held", func(b *plan.Brief, _ *plan.Plan) { b.Needs[0].Items[0].Aboard[0].Amount = 0.9 }, rules(plan.RuleBalance)},
		{"more left behind than the lot held", func(_ *plan.Brief, p *plan.Plan) { p.Discards[0].Amount = 0.6 }, rules(plan.RuleBalance)},
		{"left behind where it was bought", func(_ *plan.Brief, p *plan.Plan) { p.Discards[0].Stop = 0 }, rules(plan.RuleTime)},
		{"left behind past the route", func(_ *plan.Brief, p *plan.Plan) { p.Discards[0].Stop = 3 }, rules(plan.RuleTime)},
		{"stowed stock drawn in the stay of purchase", func(_ *plan.Brief, p *plan.Plan) { p.Draws[4].Period = "stay 0" },
			[]plan.Rule{plan.RuleTime, plan.RuleUse, plan.RuleMissing, plan.RuleReserve, plan.RuleCost, plan.RuleGap}},
		{"drawn past the route", func(_ *plan.Brief, p *plan.Plan) { p.Draws[4].Period = "leg 2" },
			[]plan.Rule{plan.RuleTime, plan.RuleMissing, plan.RuleCost, plan.RuleGap}},

		{"eaten after surrender", func(_ *plan.Brief, p *plan.Plan) {
			p.Draws[4] = plan.Draw{Need: "grain", Item: "rice-tin", Lot: "p2", Space: "dry", Period: "stay 1", Amount: 0.8}
			p.Missing = append(p.Missing, plan.Missing{Need: "grain", Period: "stay 1", Amount: 0.2})
			p.Cost.Taste, p.Cost.Missing, p.Cost.Total, p.Gap = 0.1, 65, 131.6, 31.6/131.6
		}, rules(plan.RuleSurrender)},
		{"over-eating at sea", func(b *plan.Brief, p *plan.Plan) { b.Needs[1].UseAtSea[1] = 0.3 },
			[]plan.Rule{plan.RuleUse, plan.RuleExpiry, plan.RuleMissing, plan.RuleCost, plan.RuleGap}},
		{"over-eating counts what is eaten in port", func(b *plan.Brief, _ *plan.Plan) { b.Needs[0].UseInPort[2] = 0.4 }, rules(plan.RuleUse)},
		{"what expires first must be eaten first", func(b *plan.Brief, p *plan.Plan) { b.Needs[1].Items[0].Keeps[0].Days[1] = 2.9 }, rules(plan.RuleExpiry)},
		{"eaten when expired", func(b *plan.Brief, p *plan.Plan) { b.Needs[0].Items[0].Aboard[0].Expires = 2 }, rules(plan.RuleExpiry)},
		{"alternates that expire share the use", shareExpiry, rules(plan.RuleExpiry)},

		{"missing not stated", func(_ *plan.Brief, p *plan.Plan) { p.Missing = p.Missing[1:] }, rules(plan.RuleMissing)},
		{"more missing stated", func(_ *plan.Brief, p *plan.Plan) { p.Missing[0].Amount = 0.6 }, rules(plan.RuleMissing)},
		{"need of missing unknown", func(_ *plan.Brief, p *plan.Plan) {
			p.Missing = append(p.Missing, plan.Missing{Need: "x", Period: "leg 0"})
		}, rules(plan.RuleMissing)},
		{"missing on a leg past the route", func(_ *plan.Brief, p *plan.Plan) {
			p.Missing = append(p.Missing, plan.Missing{Need: "grain", Period: "leg 2"})
		}, rules(plan.RuleMissing)},
		{"reserve not stated", func(_ *plan.Brief, p *plan.Plan) { p.ReserveMissing = nil }, rules(plan.RuleReserve)},
		{"leg of reserve unknown", func(_ *plan.Brief, p *plan.Plan) {
			p.ReserveMissing = append(p.ReserveMissing, plan.ReserveMissing{Need: "grain", Leg: 2})
		}, rules(plan.RuleReserve)},
		{"reserve that expires too soon", func(b *plan.Brief, _ *plan.Plan) { b.Needs[0].Items[1].Keeps[0].Days[0] = 5.9 },
			[]plan.Rule{plan.RuleReserve, plan.RuleCost, plan.RuleGap}},
		{"reserve given by the need", func(b *plan.Brief, _ *plan.Plan) { b.Needs[0].Reserve = []float64{2.1, 0} },
			[]plan.Rule{plan.RuleReserve, plan.RuleCost, plan.RuleGap}},
		{"out of reach, but not missing", func(_ *plan.Brief, p *plan.Plan) { p.Unreachable[0].Period = "stay 0" }, rules(plan.RuleUnreachable)},
		{"missing, but not out of reach", func(_ *plan.Brief, p *plan.Plan) { p.Unreachable[0] = p.Missing[0] }, rules(plan.RuleUnreachable)},

		{"goods", func(_ *plan.Brief, p *plan.Plan) { p.Cost.Goods = 32.9 }, rules(plan.RuleCost)},
		{"trips", func(_ *plan.Brief, p *plan.Plan) { p.Cost.Trips = 20 }, rules(plan.RuleCost)},
		{"lines", func(_ *plan.Brief, p *plan.Plan) { p.Cost.Lines = 2 }, rules(plan.RuleCost)},
		{"taste", func(_ *plan.Brief, p *plan.Plan) { p.Cost.Taste = 0 }, rules(plan.RuleCost)},
		{"missing", func(_ *plan.Brief, p *plan.Plan) { p.Cost.Missing = 54 }, rules(plan.RuleCost)},
		{"reserve", func(_ *plan.Brief, p *plan.Plan) { p.Cost.ReserveMissing = 0 }, rules(plan.RuleCost)},
		{"total", func(_ *plan.Brief, p *plan.Plan) { p.Cost.Total = 121 }, rules(plan.RuleCost)},
		{"bound above the total", func(_ *plan.Brief, p *plan.Plan) { p.Bound, p.Gap = 122, -0.48/121.52 }, rules(plan.RuleBound)},
		{"gap not that of the bound", func(_ *plan.Brief, p *plan.Plan) { p.Gap = 0.17 }, rules(plan.RuleGap)},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			b, p := handBrief(), handPlan()
			tt.spoil(&b, &p)
			require.NoError(t, b.Check(), "the brief stays well-formed")
			require.Equal(t, tt.want, brokenRules(t, plan.Verify(b, p)), "%v", plan.Verify(b, p))
		})
	}
}

func rules(r ...plan.Rule) []plan.Rule { return r }

func splitPurchase(b *plan.Brief, p *plan.Plan) {
	b.Needs[0].Items[0].Offers[2].Limit = ptr(1)
	p.Purchases[5].EatenInPort = 0.3
	p.Purchases = append(p.Purchases, plan.Purchase{ID: "p7", Stop: 2, Need: "grain", Item: "rice", Pack: 0.5,
		Packs: 1, Price: 4, EatenInPort: 0.2})
	p.Cost.Goods, p.Cost.Total, p.Gap = 37, 125.52, 25.52/125.52
}

// shareExpiry lets the tins expire with the rice held on day 0: 0.5 rice is
// within the 0.55 need-units used by then, 0.5 and 0.1 are not.
func shareExpiry(b *plan.Brief, _ *plan.Plan) {
	b.Needs[0].Items[0].Aboard[0].Expires = 2.55
	b.Needs[0].Items[1].Keeps[0].Days[0] = 0.55
	b.Stops[0].ReserveDays = 0
	b.Needs[0].Reserve = []float64{1.6, 0} // 1.1 of rice is left
}

// What alternates serve is counted in need-units, tins at half: 0.5 rice and
// 0.2 tins are just what is used until both expire.
func TestVerifyCountsExpiryInNeedUnits(t *testing.T) {
	t.Parallel()
	b, p := handBrief(), handPlan()
	shareExpiry(&b, &p)
	b.Needs[0].Items[0].Aboard[0].Expires, b.Needs[0].Items[1].Keeps[0].Days[0] = 2.6, 0.6
	require.NoError(t, plan.Verify(b, p))
}

// The contract compares litres within 1e-6 and money within 1e-6 of the total.
func TestVerifyTolerances(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name string
		room float64 // litres lacking in the dry space
		off  float64 // money, as a share of the total
		want []plan.Rule
	}{
		{"within both", 0.9e-6, 0.9e-6, nil},
		{"past the room", 1.1e-6, 0, rules(plan.RuleRoom)},
		{"past the money", 0, 1.1e-6, rules(plan.RuleCost)},
	} {
		b, p := handBrief(), handPlan()
		b.Stowage.Spaces[0].Litres -= tt.room
		p.Cost.Goods += tt.off * p.Cost.Total
		err := plan.Verify(b, p)
		if tt.want == nil {
			require.NoError(t, err, tt.name)
			continue
		}
		require.Equal(t, tt.want, brokenRules(t, err), tt.name)
	}
}

func TestVerifyRefusesMalformedBrief(t *testing.T) {
	t.Parallel()
	b := handBrief()
	b.Needs[0].Items[0].Yield = 0
	require.ErrorIs(t, plan.Verify(b, handPlan()), plan.ErrMalformed)
}

// A plan that buys nothing is a plan; the free total of 0 has a gap of 0.
func TestVerifyEmptyPlan(t *testing.T) {
	t.Parallel()
	b := plan.Brief{Version: 1, Currency: "EUR", Start: "2027-05-29", Stops: make([]plan.Stop, 2)}
	require.NoError(t, plan.Verify(b, plan.Plan{Version: 1, Currency: "EUR"}))
}

// Lots surrendered or expired at departure take no room.
func TestVerifyCountsOnlyWhatIsStillFood(t *testing.T) {
	t.Parallel()
	b, p := handBrief(), handPlan()
	b.Needs[0].Items[0].Aboard = append(b.Needs[0].Items[0].Aboard, plan.Lot{Space: "dry", Amount: 50, Expires: 2})
	require.NoError(t, plan.Verify(b, p))
	b.Needs[0].Items[0].Aboard[1].Expires = 2.1
	require.Equal(t, rules(plan.RuleRoom, plan.RulePayload), brokenRules(t, plan.Verify(b, p)))
	p.Discards = append(p.Discards, plan.Discard{Item: "rice", Lot: "aboard 1", Space: "dry", Stop: 0, Amount: 50})
	require.NoError(t, plan.Verify(b, p))
}

// Only what is taken away on the way may be called out of reach for it: not
// what is bought after that, nor what is eaten before.
func TestVerifyKnowsWhatIsTakenOnTheWay(t *testing.T) {
	t.Parallel()
	leg0, leg1, stay2 := plan.Missing{Need: "fruit", Period: "leg 0", Amount: 10}, plan.Missing{Need: "fruit", Period: "leg 1", Amount: 10}, plan.Missing{Need: "fruit", Period: "stay 2", Amount: 1}
	cases := []struct {
		name  string
		sold  int
		taken []int
		want  []plan.Missing
	}{
		{"never taken", 0, nil, nil},
		{"taken at the next stop", 0, []int{1}, []plan.Missing{leg1, stay2}},
		{"taken at the last", 0, []int{2}, []plan.Missing{stay2}},
		{"bought once it was taken", 1, []int{1}, []plan.Missing{leg0}},
		{"taken after", 1, []int{2}, []plan.Missing{leg0, stay2}},
	}
	for _, tt := range cases {
		for _, said := range cases {
			b := plan.Brief{Version: 1, Currency: "EUR", Start: "2027-05-29",
				Stops:   []plan.Stop{{Port: "A"}, {Port: "B", Arrive: 10, Depart: 10}, {Port: "C", Arrive: 20, Depart: 21}},
				Stowage: plan.Stowage{Spaces: []plan.Space{{ID: "dry", Litres: 9}}},
				Needs: []plan.Need{{ID: "fruit", Unit: "kg", UseInPort: []float64{0, 0, 1}, UseAtSea: []float64{1, 1}, MissingCost: 1,
					Items: []plan.Item{{ID: "apple", Yield: 1, Litres: 1, Kg: 1, SurrenderedAt: tt.taken,
						Keeps:  []plan.Keep{{Space: "dry", Days: []float64{99, 99, 99}}},
						Offers: []plan.Offer{{Stop: tt.sold, Pack: 1, Price: 0.5}}}}}}}
			p := plan.Plan{Version: 1, Currency: "EUR", Cost: plan.Cost{Missing: 21, Total: 21}, Bound: 21,
				Missing: []plan.Missing{leg0, leg1, stay2}, Unreachable: said.want}
			err := plan.Verify(b, p)
			if !slices.ContainsFunc(said.want, func(m plan.Missing) bool { return !slices.Contains(tt.want, m) }) {
				require.NoError(t, err, "%s, said as %s: silence is no lie", tt.name, said.name)
				continue
			}
			require.Error(t, err, "%s, said as %s", tt.name, said.name)
			for _, r := range brokenRules(t, err) {
				require.Equal(t, plan.RuleUnreachable, r, "%s, said as %s", tt.name, said.name)
			}
		}
	}
}

// What was taken away on arrival is no reserve on the leg after.
func TestVerifyCountsNoReserveThatWasTaken(t *testing.T) {
	t.Parallel()
	b, p := handBrief(), handPlan()
	b.Stops[1].ReserveDays = 1
	lacking := func(amount float64) error {
		p.ReserveMissing = append(handPlan().ReserveMissing, plan.ReserveMissing{Need: "grain", Leg: 1, Amount: amount})
		p.Cost.ReserveMissing = 1 + 2*amount
		p.Cost.Total = 120.52 + p.Cost.ReserveMissing
		p.Gap = 1 - p.Bound/p.Cost.Total
		return plan.Verify(b, p)
	}
	require.NoError(t, lacking(1))
	require.Contains(t, brokenRules(t, lacking(0.6)), plan.RuleReserve, "0.8 tins, worth 0.4, were taken at stop 1")
}
