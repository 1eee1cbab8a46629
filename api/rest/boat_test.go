package rest_test

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/rest"
)

func vessel() object {
	return object{
		"name": "Plover (invented)", "water_tank_l": 300,
		"spaces": []object{{"id": "bilge", "kind": "cool", "litres": 150}, {"id": "saloon", "kind": "dry", "litres": 300}},
	}
}

func crew() object {
	return object{"persons": []object{{"id": "a", "name": "A", "age": 40}, {"id": "b", "name": "B", "age": 38, "aboard": []object{{"from": "2026-07-01"}}}}}
}

func voyage() object {
	return object{
		"name": "To the islands", "home": "EUR",
		"stops": []object{{"port": "PTHOR", "arrive": "2026-07-01", "depart": "2026-07-05"}, {"port": "x-madalena-do-pico", "depart": "2026-07-20"}},
	}
}

// documents are the kinds that are put, read, listed and deleted alike.
var documents = []struct {
	kind  string
	value func() object
}{{"vessels", vessel}, {"crews", crew}, {"voyages", voyage}}

func TestDocumentsHaveRevisions(t *testing.T) {
	t.Parallel()
	for _, d := range documents {
		t.Run(d.kind, func(t *testing.T) {
			t.Parallel()
			c := serve(t, rest.Options{})
			path := "/v1/" + d.kind + "/mine"
			c.do("GET", path, nil).problem(http.StatusNotFound)
			first := c.do("PUT", path, d.value(), "If-None-Match", "*").want(http.StatusOK).header.Get("ETag")
			require.NotEmpty(t, first)
			require.Equal(t, first, c.do("PUT", path, d.value()).want(http.StatusOK).header.Get("ETag"), "the same again changes nothing")
			a := c.do("GET", path, nil).want(http.StatusOK)
			require.Equal(t, first, a.header.Get("ETag"))
			c.do("GET", path, nil, "If-None-Match", first).want(http.StatusNotModified)
			c.do("GET", path, nil, "If-None-Match", `"0", W/`+first).want(http.StatusNotModified)

			var value object
			a.into(&value)
			require.Equal(t, "mine", value["id"])
			if d.kind == "crews" {
				value["persons"].([]any)[0].(object)["age"] = 41
			} else {
				value["name"] = "Another"
			}
			c.do("PUT", path, value, "If-None-Match", "*").problem(http.StatusPreconditionFailed)
			second := c.do("PUT", path, value, "If-Match", first).want(http.StatusOK).header.Get("ETag")
			require.NotEqual(t, first, second)
			c.do("PUT", path, d.value(), "If-Match", first).problem(http.StatusPreconditionFailed)
			c.do("DELETE", path, nil, "If-Match", first).problem(http.StatusPreconditionFailed)
			c.do("PUT", path, d.value(), "If-Match", "x").problem(http.StatusBadRequest)
			c.do("PUT", path, d.value(), "If-Match", "*").problem(http.StatusBadRequest)

			var all map[string][]object
			c.do("GET", "/v1/"+d.kind, nil).want(http.StatusOK).into(&all)
			require.Len(t, all[d.kind], 1)
			c.do("PUT", path, with(value, "id", "other")).problem(http.StatusUnprocessableEntity).at(t, "id")
			c.do("DELETE", path, nil, "If-Match", second).want(http.StatusNoContent)
			c.do("DELETE", path, nil).problem(http.StatusNotFound)
			c.do("GET", "/v1/"+d.kind, nil).want(http.StatusOK).into(&all)
			require.Empty(t, all[d.kind])
		})
	}
}

func TestBadDocuments(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	for name, tt := range map[string]struct {
		path string
		body object
		says string
	}{
		"space kind":     {"vessels/v", with(vessel(), "spaces", []object{{"id": "a", "kind": "attic"}}), "spaces[0].kind"},
		"negative":       {"vessels/v", with(vessel(), "water_tank_l", -1), "water_tank_l"},
		"space twice":    {"vessels/v", with(vessel(), "spaces", []object{{"id": "a", "kind": "dry"}, {"id": "a", "kind": "dry"}}), "spaces[1].id"},
		"nobody":         {"crews/c", with(crew(), "persons", []object{}), "persons"},
		"age":            {"crews/c", with(crew(), "persons", []object{{"id": "a", "age": 400}}), "persons[0].age"},
		"misspelt":       {"crews/c", with(crew(), "persons", []object{{"id": "a", "age": 4, "not_eating": []string{"nutz"}}}), "persons[0].not_eating[0]"},
		"one stop":       {"voyages/y", with(voyage(), "stops", []object{{"port": "PTHOR"}}), "stops"},
		"unknown port":   {"voyages/y", with(voyage(), "stops", []object{{"port": "PTHOR"}, {"port": "nowhere"}}), "stops[1].port"},
		"no home":        {"voyages/y", with(voyage(), "home", "ZZZ"), "home"},
		"home, no rate":  {"voyages/y", with(voyage(), "home", "KPW"), "home"},
		"dates backward": {"voyages/y", with(voyage(), "stops", []object{{"port": "PTHOR", "arrive": "2026-07-10", "depart": "2026-07-01"}, {"port": "x-madalena-do-pico"}}), ""},
	} {
		p := c.do("PUT", "/v1/"+tt.path, tt.body).problem(http.StatusUnprocessableEntity)
		require.NotEmpty(t, p.Errors, name)
		require.Contains(t, p.Errors[0].Path+" "+p.Errors[0].Problem, tt.says, name)
	}
}

func TestAboard(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	const path = "/v1/vessels/mine/aboard"
	c.do("GET", path, nil).problem(http.StatusNotFound)
	c.do("PUT", "/v1/vessels/mine", vessel()).want(http.StatusOK)
	lot := func(id, item, space, amount string) object {
		return object{"id": id, "item": item, "space": space, "amount": amount}
	}
	lots := func(a answer) map[string]string {
		var in struct{ Lots []api.LotEntry }
		a.want(http.StatusOK).into(&in)
		out := map[string]string{}
		for _, l := range in.Lots {
			out[l.ID] = l.Amount
		}
		return out
	}
	require.Empty(t, lots(c.do("GET", path, nil)))
	first := c.do("PUT", path, object{"lots": []object{lot("l1", someItem, "bilge", "2.5 kg"), lot("l2", someMilk, "saloon", "6 L")}}, "If-Match", `"0"`)
	require.Equal(t, map[string]string{"l1": "2.5 kg", "l2": "6 L"}, lots(first))
	changes := object{"add": []object{lot("l3", someItem, "saloon", "500 g")}, "set": []object{lot("l1", someItem, "bilge", "1 kg")}, "remove": []string{"l2"}}
	want := map[string]string{"l1": "1 kg", "l3": "500 g"}
	require.Equal(t, want, lots(c.do("POST", path+"/changes", changes)))
	require.Equal(t, want, lots(c.do("GET", path, nil)))
	c.do("PUT", path, object{"lots": []object{}}, "If-Match", first.header.Get("ETag")).problem(http.StatusPreconditionFailed)

	c.do("POST", path+"/changes", object{"remove": []string{"l9"}}).problem(http.StatusNotFound)
	c.do("POST", path+"/changes", object{"remove": []string{"l1"}, "set": []object{lot("l9", someItem, "bilge", "1 kg")}}).problem(http.StatusNotFound)
	c.do("POST", path+"/changes", object{"add": []object{lot("l1", someItem, "bilge", "7 kg")}}).problem(http.StatusConflict)
	c.do("POST", path+"/changes", object{"add": []object{lot("", someItem, "attic", "7 kg")}}).problem(http.StatusUnprocessableEntity)
	c.do("POST", path+"/changes", object{"add": []object{lot("", someItem, "bilge", "7 l")}}).problem(http.StatusUnprocessableEntity).at(t, "lots[0].amount")
	c.do("POST", path+"/changes", object{"add": []object{lot("", "unobtainium", "bilge", "7 l")}}).problem(http.StatusUnprocessableEntity).at(t, "lots[0].item")
	require.Equal(t, want, lots(c.do("GET", path, nil)))

	require.Contains(t, string(c.do("GET", "/v1/vessels/mine/count-sheet?form=true", nil).want(http.StatusOK).body), "bilge,=")
	sheet := string(c.do("GET", "/v1/vessels/mine/count-sheet", nil).want(http.StatusOK).body)
	require.Contains(t, sheet, "bilge")
	counted := "item,space,amount\n" + someItem + ",bilge,3 kg\n" + someMilk + ",saloon,0\n"
	there := map[string]string{"l1": "2.5 kg", "l3": "500 g"} // the second was found beside the first
	require.Equal(t, there, lots(c.do("PUT", path+"/count", counted, "Content-Type", "text/csv")))
	p := c.do("PUT", path+"/count", counted+someItem+",attic,1 kg\n", "Content-Type", "text/csv").problem(http.StatusUnprocessableEntity)
	require.Contains(t, strings.Join([]string{p.Detail}, ""), "line 4")
	require.Equal(t, there, lots(c.do("GET", path, nil)))
}
