package main

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"
)

// Two stops, rice for a leg of four days at a kilogram a day; by hand: 4 packs
// of 2.00, a trip of 10, a line of 1.
const (
	smallBrief = `{"brief":1,"currency":"EUR","start":"2027-03-01",
"stops":[{"port":"ESLPA","arrive":0,"depart":1,"trip_cost":10},{"port":"CVMIN","arrive":5,"depart":6,"trip_cost":10}],
"stowage":{"spaces":[{"id":"dry","litres":50}]},
"needs":[{"id":"starch","unit":"kg","use_in_port":[0,0],"use_at_sea":[1],"missing_cost":50,"reserve_missing_cost":0,
"items":[{"id":"rice","yield":1,"taste_cost":0,"litres":1.3,"kg":1,"line_cost":1,
"keeps":[{"space":"dry","days":[300,300]}],"offers":[{"stop":0,"pack":1,"price":2}]}]}]}`
	smallPlan = `{"plan":1,"currency":"EUR",
"cost":{"goods":8,"trips":10,"lines":1,"taste":0,"missing":0,"reserve_missing":0,"total":19},"bound":19,"gap":0,
"purchases":[{"id":"p1","stop":0,"need":"starch","item":"rice","pack":1,"packs":4,"price":2,"eaten_in_port":0,"stowed":[{"space":"dry","amount":4}]}],
"draws":[{"need":"starch","item":"rice","lot":"p1","space":"dry","period":"leg 0","amount":4}],
"discards":[],"missing":[],"reserve_missing":[],"trips":[{"stop":0,"count":1}],"unreachable":[],"warnings":[]}`
)

func TestVerify(t *testing.T) {
	t.Parallel()
	u := user(t)
	brief, good := u.file("brief.json", smallBrief), u.file("plan.json", smallPlan)
	require.Contains(t, u.ok("verify", brief, good), "keeps every rule")

	var v verdict
	require.NoError(t, json.Unmarshal([]byte(u.ok("--json", "verify", brief, good)), &v))
	require.Equal(t, verdict{Valid: true, Total: 19, Bound: 19}, v)
}

func TestVerifyNamesWhatIsBroken(t *testing.T) {
	t.Parallel()
	u := user(t)
	brief := u.file("brief.json", smallBrief)
	for _, tt := range []struct {
		name, from, to string
		code           int
		says           string
	}{
		{"eats more than bought", `"packs":4`, `"packs":3`, exitBroken, "packs"},
		{"a cost of its own", `"goods":8`, `"goods":7`, exitBroken, "cost"},
		{"unknown field", `"plan":1,`, `"plan":1,"extra":2,`, exitRefused, "extra"},
		{"not JSON", `{"plan"`, `("plan"`, exitRefused, "plan.json"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			u := user(t)
			r := u.run("verify", brief, u.file("plan.json", replaced(t, smallPlan, tt.from, tt.to)))
			require.Equal(t, tt.code, r.code, r.err)
			require.Contains(t, r.out+r.err, tt.says)
		})
	}
}
