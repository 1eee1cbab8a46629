package main

import (
	"encoding/json"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/route/inventory"
	"hardtack/route/vessel"
)

const (
	smallVessel = `{"id":"dory","name":"Dory (invented)","water_tank_l":200,"cylinders":[{"kg":6,"full":1}],
"spaces":[{"id":"port","kind":"dry","litres":300},{"id":"bilge","kind":"cool","litres":80},{"id":"box","kind":"fridge","litres":40}]}`
	smallVoyage = `{"id":"hop","name":"A hop","home":"EUR","stops":[
{"port":"x-funchal","arrive":"2026-09-10","depart":"2026-09-14"},{"port":"ESLPA","depart":"2026-09-22"}]}`
)

// boat enters a small boat, a crew of two and a short voyage.
func (u as) boat() {
	u.t.Helper()
	u.ok("vessel", "set", u.file("dory.json", smallVessel))
	u.ok("crew", "person", "Ada", "--age", "41", "--sex", "f")
	u.ok("crew", "person", "Bo", "--age", "39", "--not-eating", "pork")
	u.ok("voyage", "set", u.file("hop.json", smallVoyage))
}

func TestBoatFromNothingToAList(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.boat()
	u.ok("aboard", "add", "rice_white", "2,5 kg", "--space", "port")
	u.ok("aboard", "add", "water_tank", "150 l", "--space", "tank")

	out := u.ok("plan", "--work", "2000")
	require.Contains(t, out, "A hop")
	require.Contains(t, out, "100 % of the money rests on guessed prices", "nobody has reported yet")
	require.Contains(t, out, "kcal against a need of")
	require.Contains(t, out, "Funchal to Las Palmas")

	list := u.ok("list")
	require.Contains(t, list, "FUNCHAL   2026-09-10 to 2026-09-14")
	require.Contains(t, list, "~", "a guess is marked")
	require.NotContains(t, u.ok("list", "--stop", "1"), "FUNCHAL")
	page := filepath.Join(u.home, "lists.html")
	require.Empty(t, u.ok("list", "--html", page))
	require.FileExists(t, page)
	require.Equal(t, exitNotFound, u.run("list", "--stop", "7").code)

	require.Contains(t, u.ok("brief", "--notes"), "Water:")
	require.Contains(t, u.ok("ahead", "rice_white"), "Las Palmas")
	require.Contains(t, u.ok("ahead", "--need", "rice"), "Las Palmas")
}

func TestVesselIsChangedByCommand(t *testing.T) {
	t.Parallel()
	u := user(t)
	require.Contains(t, u.ok("vessel"), "No vessel is kept yet")
	u.ok("vessel", "set", u.file("dory.json", smallVessel))
	require.Contains(t, u.ok("vessel"), "195 L to fill") // 0.65 of 300
	u.ok("vessel", "space", "attic", "dry", "--crates", "2")
	u.ok("vessel", "space", "port", "dry", "100")
	u.ok("vessel", "space", "bilge", "--remove")

	var v vessel.Vessel
	require.NoError(t, json.Unmarshal([]byte(u.ok("--json", "vessel", "show", "dory")), &v))
	require.Equal(t, []vessel.Space{
		{ID: "port", Kind: vessel.Dry, Litres: 100}, {ID: "box", Kind: vessel.Fridge, Litres: 40}, {ID: "attic", Kind: vessel.Dry, Crates: 2},
	}, v.Spaces)

	u.ok("vessel", "delete", "dory")
	require.Equal(t, exitNotFound, u.run("vessel", "show", "dory").code)
}

func TestCrewIsChangedByCommand(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.ok("crew", "person", "Ada", "--age", "41", "--from", "2026-09-01", "--to", "2026-10-01")
	u.ok("crew", "person", "Bo", "--age", "2.5")
	require.Contains(t, u.ok("crew"), "2026-09-01 to 2026-10-01")
	u.ok("crew", "person", "Bo", "--remove")
	require.NotContains(t, u.ok("crew"), "Bo")
	require.Equal(t, exitNotFound, u.run("crew", "person", "Cy", "--remove").code)
}

func TestAboardIsCountedAndChanged(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.ok("vessel", "set", u.file("dory.json", smallVessel))
	require.Contains(t, u.ok("aboard"), "Nothing is entered")
	u.ok("aboard", "set", u.file("count.csv", "item,space,amount,best_before\nrice_white,port,500 g,2027-05-01\nbeer,bilge,12 x 330 ml,\n"))
	require.Contains(t, u.ok("aboard"), "3.96 L")
	require.Contains(t, u.ok("aboard", "sheet"), "____")

	var kept api.Kept[[]inventory.Lot]
	require.NoError(t, json.Unmarshal([]byte(u.ok("--json", "aboard")), &kept))
	require.Len(t, kept.Value, 2)
	u.ok("aboard", "remove", kept.Value[0].ID)
	require.NotContains(t, u.ok("aboard"), "Rice")
}

// Bad input is told with its place and what was expected, and nothing changes.
func TestBadBoats(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.boat()
	before := u.ok("--json", "vessel") + u.ok("--json", "crew") + u.ok("--json", "voyage") + u.ok("--json", "aboard")
	for _, tt := range []struct {
		name string
		args []string
		code int
		says []string
	}{
		{"unknown field", []string{"vessel", "set", u.file("a.json", `{"id":"dory","colour":"red"}`)}, exitRefused, []string{"a.json", "colour", "nothing was changed"}},
		{"two documents", []string{"vessel", "set", u.file("b.json", smallVessel+smallVessel)}, exitRefused, []string{"more than one"}},
		{"a kind of space that is none", []string{"vessel", "space", "attic", "warm", "5"}, exitUsage, []string{"kind", "warm"}},
		{"negative litres", []string{"vessel", "space", "attic", "dry", "--crates=-1"}, exitUsage, []string{"crates", "-1"}},
		{"no age", []string{"crew", "person", "Cy"}, exitUsage, []string{"--age"}},
		{"a word nobody knows", []string{"crew", "person", "Cy", "--age", "30", "--not-eating", "glutin"}, exitUsage, []string{"glutin"}},
		{"a day that is none", []string{"crew", "person", "Cy", "--age", "30", "--from", "31/12/2026"}, exitUsage, []string{"31/12/2026", "YYYY-MM-DD"}},
		{"unknown port", []string{"voyage", "set", u.file("c.json", replaced(t, smallVoyage, "x-funchal", "Funchl"))}, exitUsage, []string{"Funchl", "x-funchal"}},
		{"an amount in the wrong unit", []string{"aboard", "add", "rice_white", "2 l", "--space", "port"}, exitUsage, []string{"2 l"}},
		{"a space the boat has not", []string{"aboard", "add", "rice_white", "2 kg", "--space", "attic"}, exitUsage, []string{"attic", "port"}},
		{"unknown item", []string{"aboard", "add", "rice_whit", "2 kg", "--space", "port"}, exitUsage, []string{"rice_white"}},
		{"a lot that is not there", []string{"aboard", "remove", "nothing"}, exitNotFound, []string{"nothing was changed"}},
		{"a voyage that is not there", []string{"plan", "nowhere"}, exitNotFound, []string{"nowhere"}},
		{"no plan yet", []string{"list"}, exitNotFound, []string{"plan"}},
		{"no stop like that", []string{"ahead", "rice_white", "--from", "9"}, exitNotFound, []string{"9"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := u.run(tt.args...)
			require.Equal(t, tt.code, r.code, r.err)
			require.Empty(t, r.out)
			for _, s := range tt.says {
				require.Contains(t, r.err, s)
			}
		})
	}
	require.Equal(t, before, u.ok("--json", "vessel")+u.ok("--json", "crew")+u.ok("--json", "voyage")+u.ok("--json", "aboard"))
}

func TestWishes(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.boat()
	require.Contains(t, u.ok("voyage", "wish", "coffee_ground_vac", "ESLPA", "--least", "2"), "at least 2 of coffee_ground_vac in ESLPA")
	require.Contains(t, u.ok("voyage", "wish", "tin_lunchmeat", "--never"), "never tin_lunchmeat")
	require.Contains(t, u.ok("voyage", "settings"), "coffee_ground_vac")
	require.NotContains(t, u.ok("voyage", "wish", "tin_lunchmeat", "--never", "--drop"), "tin_lunchmeat")
	require.Equal(t, exitNotFound, u.run("voyage", "wish", "tin_lunchmeat", "--never", "--drop").code)
}
