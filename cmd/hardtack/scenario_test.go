package main

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/route/brief"
	"hardtack/route/plan"
)

// The boats of testdata/scenarios are entered and planned by the commands a
// skipper would type, and what comes out is read as critically as she would.
// The prints as they were last read with a skipper's eye lie beside them.
// After a change that is meant: GOLDEN=write go test ./cmd/hardtack -run
// Scenario, and read them again.

const scenarioFiles = root + "/testdata/scenarios"

// sailed is a voyage planned by the commands.
type sailed struct {
	t         *testing.T
	name      string
	p         api.Planned
	freshDays float64 // mean days since the shop that fresh goods may have when a leg begins
	needs     map[string]plan.Need
	items     map[string]plan.Item
	cat       *item.Catalogue
	print     string
}

// sail enters the files of a scenario, plans its voyage and verifies the plan.
func sail(t *testing.T, scenario, voyage string) sailed {
	t.Helper()
	u := user(t)
	file := func(name string) string { return filepath.Join(scenarioFiles, scenario, name) }
	u.ok("vessel", "set", file("vessel.json"))
	u.ok("crew", "set", file("crew.json"))
	u.ok("aboard", "set", file("aboard.csv"))
	u.ok("voyage", "set", file(voyage))
	if _, err := os.Stat(file("settings.json")); err == nil {
		u.ok("voyage", "settings", "--set", file("settings.json"))
	}
	briefFile, planFile := filepath.Join(u.home, "brief.json"), filepath.Join(u.home, "plan.json")
	u.ok("brief", "-o", briefFile)
	s := sailed{t: t, name: scenario, freshDays: 3, print: u.ok("plan", "--out", planFile)}
	require.Contains(t, u.ok("verify", briefFile, planFile), "keeps every rule")
	require.Contains(t, u.ok("list"), "\n[ ] ")
	s.p, s.cat = u.lastPlan()
	s.index()
	return s
}

// lastPlan is the plan the database keeps, with what explains it.
func (u as) lastPlan() (p api.Planned, cat *item.Catalogue) {
	u.t.Helper()
	sh := &shell{ctx: context.Background(), getenv: u.getenv}
	require.NoError(u.t, sh.service(func(s *api.Service) error {
		id, err := sh.voyageOf(s, "")
		if err != nil {
			return err
		}
		kept, err := s.LastPlan(sh.ctx, id)
		p, cat = kept.Value, s.World().Catalogue
		return err
	}))
	return p, cat
}

func (s *sailed) index() {
	s.needs, s.items = map[string]plan.Need{}, map[string]plan.Item{}
	for _, n := range s.p.Brief.Needs {
		s.needs[n.ID] = n
		for _, i := range n.Items {
			s.items[i.ID] = i
		}
	}
}

func (s sailed) note(id string) brief.ItemNote {
	n, ok := s.p.Notes.Item(id)
	require.True(s.t, ok, id)
	return n
}

func (s sailed) goods(id string) item.Item { return s.cat.Items[pricing.ItemID(s.note(id).Item)] }

func TestScenarioAtlanticWithoutAFridge(t *testing.T) {
	t.Parallel()
	s := sail(t, "atlantic-no-fridge", "voyage.json")
	s.read()
	for _, b := range s.p.Plan.Purchases {
		for _, x := range b.Stowed {
			require.NotContains(t, []string{"fridge", "freezer"}, x.Space)
			require.NotEqual(t, "frozen", s.goods(b.Item).ShelfClass, b.Item)
		}
	}
	require.GreaterOrEqual(t, s.late(14), 0.2, "something fresh is left in the third week")
}

func TestScenarioFamilySeason(t *testing.T) {
	t.Parallel()
	s := sail(t, "family-season", "voyage.json")
	s.read()
	s.cheap()
	require.Positive(t, s.needs["nappies"].UseAtSea[0])
	for _, m := range s.p.Plan.Missing {
		require.NotEqual(t, "nappies", m.Need)
	}
}

// A week more than the ship's day can be waited for.
func TestScenarioAtollWhoseShipIsLate(t *testing.T) {
	t.Parallel()
	s := sail(t, "atoll-late-ship", "voyage.json")
	s.read()
	waits := 0
	for l, leg := range s.p.Notes.Legs {
		if leg.ShipWait == 0 {
			continue
		}
		waits++
		require.InDelta(t, 7, leg.ShipWait, 1e-9)
		lacking, due := s.reserve(l)
		require.Positive(t, due)
		require.LessOrEqual(t, lacking, 0.15*due, "kcal of staples for the week a ship is late, leg %d", l)
	}
	require.Equal(t, 3, waits)
}

// reserve is the energy of staples due on arrival after a leg, and of what
// lacks of it.
func (s sailed) reserve(leg int) (lacking, due float64) {
	kcal := map[string]float64{}
	for _, n := range s.p.Notes.Needs {
		need := s.needs[n.ID]
		if n.Class != item.Staple || len(need.Items) == 0 {
			continue
		}
		it := need.Items[0]
		kcal[n.ID] = s.note(it.ID).Kcal / it.Yield
		due += need.Reserve[leg] * kcal[n.ID]
	}
	for _, m := range s.p.Plan.ReserveMissing {
		if m.Leg == leg {
			lacking += m.Amount * kcal[m.Need]
		}
	}
	return lacking, due
}

// And when the ship is known to be late, nobody goes hungry.
func TestScenarioAtollKnowingTheShipIsLate(t *testing.T) {
	t.Parallel()
	s := sail(t, "atoll-late-ship", "voyage-late.json")
	s.freshDays = 4 // some of what keeps for weeks comes from the stop before, at no greater cost in all
	s.read()
}

func TestScenarioFreshTaken(t *testing.T) {
	t.Parallel()
	s := sail(t, "fresh-taken", "voyage.json")
	s.read()
	require.NotEmpty(t, s.p.Notes.Surrenders)
	taken := 0
	for _, n := range s.p.Notes.Surrenders {
		if n.Zone == "NZ" && !n.BySwitch {
			taken++
		}
	}
	require.Greater(t, taken, 20, "fresh produce, eggs, meat and honey by New Zealand's own rules")
}

// A delivery crew of three for 12 days, with no price, port or database.
func TestScenarioDeliveryByScaleAlone(t *testing.T) {
	t.Parallel()
	u := user(t)
	args := []string{"scale", "--people", "3", "--days", "12", "--reserve", "3", "--fridge", "60",
		"--list", scenarioFiles + "/delivery/stores-list.csv", "--aboard", scenarioFiles + "/delivery/aboard.csv"}
	kept(t, "delivery/list.txt", u.ok(args...))
	require.NoDirExists(t, filepath.Join(u.home, "data"), "no database is made")

	var r struct {
		Kcal float64 `json:"kcal_per_person_day"`
	}
	require.NoError(t, json.Unmarshal([]byte(u.ok(append([]string{"--json"}, args...)...)), &r))
	require.InEpsilon(t, 2750, r.Kcal, 0.15) // FAO/WHO/UNU 2004, mean of man and woman at PAL 1.75
}
