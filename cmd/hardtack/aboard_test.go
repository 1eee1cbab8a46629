package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

func TestLockersAndTheStoresBook(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.boat()
	require.Contains(t, u.ok("aboard", "lockers"), "No locker")
	u.ok("aboard", "lockers", "put", "rice bin", "--space", "port", "--litres", "20", "--max-kg", "15", "--at-sea")
	require.Contains(t, u.ok("aboard", "lockers", "put", "engine side", "--space", "port", "--litres", "30", "--hot", "--temp", "34"), "34 °C on 2026-09-05")
	require.Contains(t, u.ok("aboard", "lockers"), "rice bin")
	require.Equal(t, exitUsage, u.run("aboard", "lockers", "put", "x", "--space", "attic").code)

	require.Contains(t, u.ok("aboard", "get", "rice_white", "5 kg", "--to", "rice bin", "--pack", "1 kg", "--port", "x-funchal", "--paid", "8.90 EUR"), "to rice bin")
	u.ok("aboard", "get", "honey", "500 g", "--to", "port", "--how", "got", "--who", "a neighbour", "--loan")
	require.Contains(t, u.ok("aboard", "find", "rice"), "5 kg in rice bin")
	require.Contains(t, u.ok("aboard", "find", "caviar"), "Nothing")
	u.ok("aboard", "use", "rice_white", "500 g")
	u.ok("aboard", "spoil", "rice_white", "200 g", "--cause", "insects")
	u.ok("aboard", "move", "rice_white", "1 kg", "--to", "engine side")
	u.ok("aboard", "open", "rice_white", "--at", "rice bin")
	u.ok("aboard", "give", "honey", "100 g", "--who", "a neighbour")
	book := u.ok("aboard", "book")
	for _, word := range []string{"bought", "insects", "a loan", "to engine side", "opened", "given"} {
		require.Contains(t, book, word)
	}
	require.Contains(t, u.ok("aboard", "find", "rice"), "1 kg in engine side")
	r := u.run("aboard", "use", "rice_white", "50 kg")
	require.Equal(t, exitUsage, r.code)
	require.Contains(t, r.err, "4.3 kg there by the book")
	require.Equal(t, exitUsage, u.run("aboard", "spoil", "rice_white", "1 g", "--cause", "boredom").code)

	u.ok("aboard", "lockers", "remove", "rice bin")
	require.Contains(t, u.ok("aboard", "find", "rice"), "in port")
	require.Equal(t, exitNotFound, u.run("aboard", "lockers", "remove", "rice bin").code)
}

// Two counts a passage apart teach what the crew uses, and the next plan
// follows it.
func TestCountsTeachTheBrief(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.boat()
	count := func(day, text string) string {
		return u.ok("aboard", "count", u.file("count.csv", "item,space,amount,mark,spoilt,cause\n"+text), "--day", day)
	}
	rate := func() float64 {
		var out struct {
			Learned []struct {
				Need       string
				Rate, List float64
			}
		}
		require.NoError(t, json.Unmarshal([]byte(u.ok("--json", "aboard", "usage")), &out))
		for _, l := range out.Learned {
			if l.Need == "rice" {
				return l.Rate / l.List
			}
		}
		return 1
	}
	count("2026-07-01", "rice_white,port,10 kg,,,\ncoffee_ground_vac,port,2 kg,,,\n")
	require.Contains(t, u.ok("aboard", "usage"), "Nothing is learned yet")
	out := count("2026-08-10", "rice_white,port,8.9 kg,,100 g,wet\ncoffee_ground_vac,port,0,ran out,,\n")
	require.Contains(t, out, "1 kg used in 40 days")
	require.Contains(t, out, "it ran out")
	require.Contains(t, out, "buy")
	require.Less(t, rate(), 0.7, "1 kg in 80 person-days is far below the list")

	require.Contains(t, u.ok("brief", "--notes"), "Learned from your counts: Rice", "the next plan follows it")
	form := u.ok("aboard", "sheet", "--csv")
	require.Contains(t, form, "rice_white,port,=")
	require.Contains(t, u.ok("aboard", "sheet"), "left over")
	before := rate()
	u.ok("aboard", "count", u.file("again.csv", form), "--day", "2026-08-20", "--partial")
	require.Less(t, rate(), before, "ten days without rice")
	r := u.run("aboard", "count", u.file("bad.csv", "item,space,amount\nrice_white,attic,1 kg\n"))
	require.Equal(t, exitUsage, r.code)
	require.Contains(t, r.err, "nothing was changed")
	var kept struct{ Value []struct{ ID string } }
	require.NoError(t, json.Unmarshal([]byte(u.ok("--json", "aboard")), &kept))
	require.Len(t, kept.Value, 1)
	require.Equal(t, exitUsage, u.run("aboard", "count", "again.csv", "--day", "2026-12-01").code)
	require.False(t, strings.Contains(form, "coffee"), "what ran out is no lot any more")
}

func TestWhatToEatFirst(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.boat()
	require.Contains(t, u.ok("aboard", "first", "--day", "2026-09-12"), "Nothing presses")
	u.ok("aboard", "get", "beef_mince", "1 kg", "--to", "box", "--day", "2026-09-04")
	u.ok("aboard", "get", "egg_unwashed", "12", "--to", "box", "--day", "2026-09-04")
	out := u.ok("aboard", "first", "--day", "2026-09-05", "--port", "x-funchal")
	require.Contains(t, out, "Beef mince")
	require.Contains(t, out, "when in doubt, throw it out")
	off := u.ok("aboard", "fridge", "2")
	require.Contains(t, off, "cook it through")
	require.Contains(t, off, "when in doubt, throw it out")
	require.Equal(t, exitUsage, u.run("aboard", "first", "--port", "nowhere").code)
}

func TestArrivalList(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.boat()
	u.ok("aboard", "get", "honey", "500 g", "--to", "port")
	u.ok("aboard", "get", "spirits", "2 l", "--to", "bilge")
	next := u.ok("aboard", "arrive")
	require.Contains(t, next, "Declare everything; officers decide")
	require.Contains(t, next, "SEALED STORES")
	far := u.ok("aboard", "arrive", "--from", "x-neiafu", "--to", "NZAKL", "--on", "2026-09-15")
	require.Contains(t, far, "REFUSED")
	require.Contains(t, far, "unconfirmed")
	require.Contains(t, far, "EAT DOWN")
	require.Equal(t, exitUsage, u.run("aboard", "arrive", "--from", "nowhere", "--to", "NZAKL").code)
}

func TestWaterAndGasAreLearned(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.boat()
	u.ok("aboard", "add", "water_tank", "150 l", "--space", "tank")
	require.Contains(t, u.ok("aboard", "water", "--days", "8"), "by the list: nothing was read yet")
	for _, n := range [][]string{
		{"water level", "200", "--day", "2026-08-01"}, {"water made", "40", "--day", "2026-08-05"}, {"water level", "80", "--day", "2026-08-11"},
		{"gas swap", "6", "--day", "2026-06-01"}, {"gas swap", "6", "--day", "2026-08-01"},
	} {
		u.ok(append([]string{"aboard", "note"}, n...)...)
	}
	water := u.ok("aboard", "water", "--days", "8")
	for _, words := range []string{"learned from 1 stretches", "Never let chlorinated water reach the watermaker", "Aboard 80 L for 2 people", "99 in 100"} {
		require.Contains(t, water, words)
	}
	gas := u.ok("aboard", "gas", "--days", "8")
	require.Contains(t, gas, "licensed fitter")
	require.Contains(t, gas, "learned from 1 stretches")
	require.Contains(t, u.ok("aboard", "log"), "water made")
	require.Equal(t, exitUsage, u.run("aboard", "note", "whales").code)
	require.Equal(t, exitUsage, u.run("aboard", "note", "temperature", "200").code)
	require.Contains(t, u.ok("brief"), "water")
}

func TestPestsArePrompted(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.boat()
	u.ok("aboard", "add", "flour_white", "3 kg", "--space", "port")
	u.ok("aboard", "add", "rice_white", "2 kg", "--space", "port")
	u.ok("aboard", "note", "pest", "--item", "rice_white", "--place", "port", "--note", "weevils")
	out := u.ok("aboard", "pests", "--port", "x-funchal")
	for _, words := range []string{"AT RISK", "pests were seen", "−18 °C", "Baits and sprays are poisons"} {
		require.Contains(t, out, words)
	}
	require.Equal(t, exitUsage, u.run("aboard", "pests", "--lot", "none", "--port", "x-funchal").code)
}

func TestAPlanIsStowed(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.boat()
	u.ok("plan", "--work", "500")
	require.Equal(t, exitUsage, u.run("aboard", "stow").code, "without lockers there is nothing to propose")
	u.ok("aboard", "lockers", "put", "port low", "--space", "port", "--litres", "120", "--low", "--side", "port")
	u.ok("aboard", "lockers", "put", "ready-use", "--space", "port", "--litres", "40", "--at-sea")
	u.ok("aboard", "lockers", "put", "bilge fore", "--space", "bilge", "--litres", "50", "--low")
	out := u.ok("aboard", "stow")
	for _, words := range []string{"port low, the bottom first", "heavy: low", "used within a week", "limber holes"} {
		require.Contains(t, out, words)
	}
	require.Equal(t, exitNotFound, u.run("aboard", "stow", "9").code)
}

func TestAStretchIsLookedBackOn(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.boat()
	require.Contains(t, u.ok("aboard", "ledger"), "Nothing was given")
	u.ok("aboard", "get", "rice_white", "5 kg", "--to", "port", "--paid", "10 EUR", "--day", "2026-08-01")
	u.ok("aboard", "get", "rice_white", "5 kg", "--to", "port", "--paid", "20 EUR", "--day", "2026-08-09", "--note", "=HYPERLINK(1)")
	u.ok("aboard", "spoil", "rice_white", "1 kg", "--cause", "wet", "--day", "2026-08-20")
	u.ok("aboard", "give", "rice_white", "1 kg", "--who", "ketch", "--loan", "--day", "2026-08-20")
	u.ok("aboard", "count", u.file("c.csv", "item,space,amount,mark\nrice_white,port,6 kg,left over\n"), "--day", "2026-08-31")
	out := u.ok("aboard", "review")
	for _, words := range []string{"Money 30.00", "lost to wet in port", "paid off", "they owe 1 kg", "was left over", "NEXT SEASON'S LIST", "Rice: we use"} {
		require.Contains(t, out, words)
	}
	csv := u.ok("aboard", "export", "--table", "book")
	require.Contains(t, csv, "bought,rice_white")
	require.Contains(t, csv, "'=HYPERLINK(1)", "no formula leaves the program")
	file := filepath.Join(u.home, "season.xlsx")
	u.ok("aboard", "export", "-o", file)
	f, err := excelize.OpenFile(file)
	require.NoError(t, err)
	require.Equal(t, []string{"aboard", "book", "counts", "usage", "log", "needs", "lost", "ledger"}, f.GetSheetList())
	rows, err := f.GetRows("aboard")
	require.NoError(t, err)
	require.Equal(t, "rice_white", rows[1][0])
	formula, err := f.GetCellFormula("book", "P3")
	require.NoError(t, err)
	require.Empty(t, formula)
	require.NoError(t, f.Close())
	require.Equal(t, exitUsage, u.run("aboard", "export", "--table", "x").code)
	require.Equal(t, exitUsage, u.run("aboard", "review", "--from", "2026-09-01", "--to", "2026-08-01").code)
}

func TestAListOfMealsIsScaled(t *testing.T) {
	t.Parallel()
	u := user(t)
	menu := u.file("menu.csv", "days,7\nLentil stew,,2,lentil_red,80 g\nNo flame,emergency,,tin_bakedbeans,400 g\nWatch,watch,,granola_bars,1\n")
	out := u.ok("scale", "--people", "4", "--days", "14", "--meals", menu, "--ocean")
	require.Contains(t, out, "Lentils")
	require.Contains(t, out, "aked beans")
	r := u.run("scale", "--people", "4", "--days", "14", "--meals", u.file("bad.csv", "Stew,,2,unobtainium,1 kg\n"))
	require.Equal(t, exitRefused, r.code)
}

// What can hurt somebody never comes without its caution, whatever is asked:
// food, borders, bleach, gas, poison.
func TestCautionsAreThere(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.boat()
	u.ok("aboard", "get", "chicken_breast", "1 kg", "--to", "box")
	u.ok("aboard", "get", "egg_unwashed", "12", "--to", "port", "--day", "2026-07-20")
	u.ok("aboard", "get", "flour_white", "2 kg", "--to", "port")
	for _, tt := range []struct {
		args []string
		says []string
	}{
		{[]string{"first", "--days", "30"}, []string{"when in doubt, throw it out", "floats high", "not safety"}},
		{[]string{"fridge", "2"}, []string{"when in doubt, throw it out", "without smelling"}},
		{[]string{"arrive"}, []string{"Declare everything; officers decide; check the authority's page", "Never throw food overboard", "Ask:"}},
		{[]string{"arrive", "--from", "x-neiafu", "--to", "NZAKL"}, []string{"unconfirmed", "Cooking does not make a thing legal"}},
		{[]string{"water", "--days", "5"}, []string{"Never let chlorinated water reach the watermaker", "health authority", "unscented", "bonus and never planned"}},
		{[]string{"gas", "--days", "5"}, []string{"licensed fitter", "local codes", "never a flame", "sinks"}},
		{[]string{"pests"}, []string{"poisons", "never in a food locker", "children and pets", "Never over the side"}},
	} {
		out := u.ok(append([]string{"aboard"}, tt.args...)...)
		for _, words := range tt.says {
			require.Contains(t, out, words, "%v", tt.args)
		}
		json := u.ok(append([]string{"--json", "aboard"}, tt.args...)...)
		require.Contains(t, strings.ToLower(json), "caution", "%v as JSON", tt.args)
	}
}

// From end to end: a brief by the list; a passage walked and counted; the next
// brief is reckoned with what was used, to the gram, and next season's list
// says in words by how much.
func TestAPassageCountedChangesTheNextBrief(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.boat()
	atSea := func() map[string]float64 {
		t.Helper()
		file := filepath.Join(u.home, "brief.json")
		u.ok("brief", "-o", file)
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		var b struct {
			Needs []struct {
				ID  string    `json:"id"`
				Sea []float64 `json:"use_at_sea"`
			} `json:"needs"`
		}
		require.NoError(t, json.Unmarshal(text, &b))
		out := map[string]float64{}
		for _, n := range b.Needs {
			for _, x := range n.Sea {
				out[n.ID] += x
			}
		}
		return out
	}
	before := atSea()
	require.Positive(t, before["rice"])
	count := func(day, text string) string {
		return u.ok("aboard", "count", u.file("c.csv", "item,space,amount\n"+text), "--day", day, "--partial")
	}
	count("2026-06-01", "rice_white,port,20 kg\nsponges,port,9\n")
	said := count("2026-07-31", "rice_white,port,17.5 kg\nsponges,port,5\n") // 2.5 kg by two people in sixty days
	require.Contains(t, said, "2.5 kg used in 60 days")
	var used struct {
		Learned []struct {
			Need             string
			Rate, List, Over float64
			Boat             bool
			Words            string
		}
		Appetite struct{ Factor, Trust float64 }
	}
	require.NoError(t, json.Unmarshal([]byte(u.ok("--json", "aboard", "usage", "--person-days", "1000")), &used))
	after := atSea()
	require.Len(t, used.Learned, 2)
	for _, l := range used.Learned {
		require.InDelta(t, l.Rate/l.List, after[l.Need]/before[l.Need], 1e-6, "%s: the brief uses the learned rate", l.Need)
	}
	rice := used.Learned[0]
	require.Equal(t, "rice", rice.Need)
	require.Contains(t, rice.Words, fmt.Sprintf("buy %.0f kg less over 1000 person-days", (rice.List-rice.Rate)*1000))
	require.True(t, used.Learned[1].Boat)
	require.InDelta(t, 500, used.Learned[1].Over, 1e-9, "a need of the boat is counted by the day")
	require.Less(t, used.Appetite.Factor, 1.0)
	require.Less(t, after["salad-veg"], before["salad-veg"], "who eats little of what was counted is thought to eat less of the rest")
	require.Contains(t, u.ok("aboard", "review", "--from", "2026-06-01"), "Rice: we use", "next season's list has it")
}
