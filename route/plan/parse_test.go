package plan_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

func asJSON(t testing.TB, v any) string {
	t.Helper()
	data, err := json.Marshal(v)
	require.NoError(t, err)
	return string(data)
}

// problemPaths lists the paths an ErrMalformed names.
func problemPaths(t testing.TB, err error) []string {
	t.Helper()
	require.ErrorIs(t, err, plan.ErrMalformed)
	var m *plan.MalformedError
	require.ErrorAs(t, err, &m)
	var paths []string
	for _, p := range m.Problems {
		require.NotEmpty(t, p.Found)
		require.NotEmpty(t, p.Want)
		paths = append(paths, p.Path)
	}
	return paths
}

func TestDocumentsComeBackUnchanged(t *testing.T) {
	t.Parallel()
	b, err := plan.ParseBrief(strings.NewReader(asJSON(t, handBrief())))
	require.NoError(t, err)
	require.Equal(t, handBrief(), b)
	p, err := plan.ParsePlan(strings.NewReader(asJSON(t, handPlan())))
	require.NoError(t, err)
	require.Equal(t, handPlan(), p)
}

// Each case replaces one piece of a good brief; the paths follow from it.
func TestParseBriefNamesThePath(t *testing.T) {
	t.Parallel()
	good := asJSON(t, handBrief())
	for _, tt := range []struct{ name, old, new, want string }{
		{"not JSON", `{"brief"`, `{brief`, ""},
		{"cut short", `]}]}`, ``, ""},
		{"more behind", `{"brief":1`, `{} {"brief":1`, ""},
		{"other version", `"brief":1`, `"brief":2`, "brief"},
		{"version a text", `"brief":1`, `"brief":"1"`, "brief"},
		{"version null", `"brief":1`, `"brief":null`, "brief"},
		{"currency absent", `"currency":"EUR",`, ``, "currency"},
		{"currency no code", `"EUR"`, `"Eur"`, "currency"},
		{"start no date", `"2027-05-29"`, `"2027-02-29"`, "start"},
		{"unknown field", `"brief":1`, `"brief":1,"now":3`, "now"},
		{"field twice", `"brief":1`, `"brief":1,"brief":1`, "brief"},
		{"other capitals", `"brief":1`, `"brief":1,"Start":"2027-05-29"`, "Start"},
		{"unknown nested field", `"yield":1`, `"yield":1,"colour":"red"`, "needs[0].items[0].colour"},
		{"stops no list", `"stops":[`, `"stops":{},"x":[`, "stops"},
		{"late first arrival", `"arrive":0`, `"arrive":0.5`, "stops[0].arrive"},
		{"departs before arriving", `"depart":8`, `"depart":5`, "stops[1].depart"},
		{"arrives before leaving", `"arrive":12`, `"arrive":7`, "stops[2].arrive"},
		{"trips carry nothing", `"trip_carry_kg":5`, `"trip_carry_kg":0`, "stops[0].trip_carry_kg"},
		{"trip cost absent", `"depart":8,"trip_cost":10`, `"depart":8`, "stops[1].trip_cost"},
		{"negative reserve days", `"reserve_days":2`, `"reserve_days":-2`, "stops[0].reserve_days"},
		{"negative payload", `"payload_kg":8.5`, `"payload_kg":-1`, "stowage.payload_kg"},
		{"space twice", `{"id":"fridge"`, `{"id":"dry"`, "stowage.spaces[1].id"},
		{"space no object", `{"id":"fridge","litres":3}`, `7`, "stowage.spaces[1]"},
		{"number too large", `"litres":6`, `"litres":1e999`, "stowage.spaces[0].litres"},
		{"number no number", `"litres":6`, `"litres":NaN`, ""},
		{"need twice", `"id":"fruit"`, `"id":"grain"`, "needs[1].id"},
		{"need without name", `"id":"fruit"`, `"id":""`, "needs[1].id"},
		{"use too short", `"use_in_port":[0.5,0.5,0.5]`, `"use_in_port":[0.5,0.5]`, "needs[0].use_in_port"},
		{"use absent", `"use_at_sea":[1,1],`, ``, "needs[0].use_at_sea"},
		{"negative use", `"use_at_sea":[1,1]`, `"use_at_sea":[1,-1]`, "needs[0].use_at_sea[1]"},
		{"use a text", `"use_at_sea":[1,1]`, `"use_at_sea":[1,"1"]`, "needs[0].use_at_sea[1]"},
		{"reserve too long", `"reserve":[0,0]`, `"reserve":[0,0,0]`, "needs[1].reserve"},
		{"reserve dearer than hunger", `"missing_cost":50`, `"missing_cost":4.1`, "needs[0].missing_cost"}, // 2*2 + 0.1/0.5
		{"item twice", `"id":"rice-tin"`, `"id":"rice"`, "needs[0].items[1].id"},
		{"item of another need again", `"id":"apple"`, `"id":"rice"`, "needs[1].items[0].id"},
		{"yield 0", `"yield":0.5`, `"yield":0`, "needs[0].items[1].yield"},
		{"yield absent", `"yield":0.5,`, ``, "needs[0].items[1].yield"},
		{"negative taste", `"taste_cost":0.1`, `"taste_cost":-0.1`, "needs[0].items[1].taste_cost"},
		{"keeps in unknown space", `"keeps":[{"space":"fridge"`, `"keeps":[{"space":"frigde"`, "needs[1].items[0].keeps[0].space"},
		{"keeps twice in a space", `{"space":"fridge","days":[3,3,3]}`, `{"space":"fridge","days":[3,3,3]},{"space":"fridge","days":[3,3,3]}`, "needs[1].items[0].keeps[1].space"},
		{"days too short", `"days":[3,3,3]`, `"days":[3,3]`, "needs[1].items[0].keeps[0].days"},
		{"surrendered at the start", `"surrendered_at":[1]`, `"surrendered_at":[0]`, "needs[0].items[1].surrendered_at[0]"},
		{"surrendered past the route", `"surrendered_at":[1]`, `"surrendered_at":[1,3]`, "needs[0].items[1].surrendered_at[1]"},
		{"lot in unknown space", `"aboard":[{"space":"dry"`, `"aboard":[{"space":"hold"`, "needs[0].items[0].aboard[0].space"},
		{"negative lot", `"amount":1,`, `"amount":-1,`, "needs[0].items[0].aboard[0].amount"},
		{"offer past the route", `"stop":2,"pack":0.5`, `"stop":3,"pack":0.5`, "needs[0].items[0].offers[2].stop"},
		{"offer at half a stop", `"stop":2,"pack":0.5`, `"stop":1.5,"pack":0.5`, "needs[0].items[0].offers[2].stop"},
		{"offer twice", `"stop":1,"pack":1,"price":3`, `"stop":0,"pack":1,"price":3`, "needs[0].items[0].offers[1]"},
		{"pack 0", `"stop":2,"pack":0.5`, `"stop":2,"pack":0`, "needs[0].items[0].offers[2].pack"},
		{"negative price", `"price":4`, `"price":-4`, "needs[0].items[0].offers[2].price"},
		{"part of a pack", `"limit":10`, `"limit":10.5`, "needs[0].items[0].offers[0].limit"},
		{"negative limit", `"limit":10,"min":1`, `"limit":-1`, "needs[0].items[0].offers[0].limit"},
		{"min above the limit", `"min":1`, `"min":11`, "needs[0].items[0].offers[0].min"},
		{"negative min", `"min":1`, `"min":-1`, "needs[0].items[0].offers[0].min"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			bad := strings.Replace(good, tt.old, tt.new, 1)
			require.NotEqual(t, good, bad, "the replacement hits")
			_, err := plan.ParseBrief(strings.NewReader(bad))
			require.Contains(t, problemPaths(t, err), tt.want, "%v", err)
		})
	}
}

func TestParseBriefTakesWhatTheContractLeavesOpen(t *testing.T) {
	t.Parallel()
	good := asJSON(t, handBrief())
	for _, tt := range []struct{ name, old, new string }{
		{"no needs", good[strings.Index(good, `,"needs"`):], `}`},
		{"null list", `"surrendered_at":[1]`, `"surrendered_at":null`},
		{"null limit", `"trip_carry_kg":5`, `"trip_carry_kg":null`},
		{"whole number with a point", `"limit":10`, `"limit":10.0`},
		{"escaped name", `"yield"`, `"yi\u0065ld"`},
	} {
		bad := strings.Replace(good, tt.old, tt.new, 1)
		require.NotEqual(t, good, bad, tt.name)
		_, err := plan.ParseBrief(strings.NewReader(bad))
		require.NoError(t, err, tt.name)
	}
}

func TestParseReportsManyProblemsAtOnceUpToALimit(t *testing.T) {
	t.Parallel()
	b := handBrief()
	b.Currency, b.Stops[1].TripCost, b.Needs[1].Items[0].Yield = "", -1, 0
	require.Equal(t, []string{"currency", "stops[1].trip_cost", "needs[1].items[0].yield"}, problemPaths(t, b.Check()))

	b.Needs[0].Items = make([]plan.Item, 100)
	var m *plan.MalformedError
	require.ErrorAs(t, b.Check(), &m)
	require.Len(t, m.Problems, 20)
	require.Greater(t, m.More, 100)
	require.Contains(t, m.Error(), "more")
}

func TestParsePlanNamesThePath(t *testing.T) {
	t.Parallel()
	good := asJSON(t, handPlan())
	for _, tt := range []struct{ name, old, new, want string }{
		{"cost absent", `"cost":`, `"costs":`, "cost"},
		{"total absent", `,"total":121.52`, ``, "cost.total"},
		{"negative goods", `"goods":33`, `"goods":-33`, "cost.goods"},
		{"purchase id twice", `"id":"p2"`, `"id":"p1"`, "purchases[1].id"},
		{"purchase named aboard", `"id":"p2"`, `"id":"aboard 2"`, "purchases[1].id"},
		{"negative packs", `"packs":5`, `"packs":-5`, "purchases[0].packs"},
		{"half a pack", `"packs":5`, `"packs":5.5`, "purchases[0].packs"},
		{"negative stowage", `"amount":4.5`, `"amount":-4.5`, "purchases[0].stowed[0].amount"},
		{"no period", `"period":"stay 0"`, `"period":"night 0"`, "draws[0].period"},
		{"leg below 0", `"leg":0`, `"leg":-1`, "reserve_missing[0].leg"},
		{"negative count", `"count":2`, `"count":-2`, "trips[0].count"},
		{"unknown field", `"count":2`, `"count":2,"by":"bus"`, "trips[0].by"},
		{"warning no text", `"warnings":null`, `"warnings":[1]`, "warnings[0]"},
	} {
		bad := strings.Replace(good, tt.old, tt.new, 1)
		require.NotEqual(t, good, bad, tt.name)
		_, err := plan.ParsePlan(strings.NewReader(bad))
		require.Contains(t, problemPaths(t, err), tt.want, "%s: %v", tt.name, err)
	}
}

func TestParseRefusesDeepNesting(t *testing.T) {
	t.Parallel()
	_, err := plan.ParseBrief(strings.NewReader(strings.Repeat("[", 200_000)))
	require.ErrorIs(t, err, plan.ErrMalformed)
}

type brokenReader struct{ err error }

func (r brokenReader) Read([]byte) (int, error) { return 0, r.err }

func TestParsePassesReadErrorsOn(t *testing.T) {
	t.Parallel()
	broken := errors.New("disk gone")
	_, err := plan.ParseBrief(brokenReader{broken})
	require.ErrorIs(t, err, broken)
	require.NotErrorIs(t, err, plan.ErrMalformed)
}

func seedDocuments(f *testing.F, pattern string) {
	names, err := filepath.Glob(filepath.Join(instances, pattern))
	require.NoError(f, err)
	require.NotEmpty(f, names)
	for _, name := range names {
		data, err := os.ReadFile(name)
		require.NoError(f, err)
		f.Add(data)
	}
}

// What ParseBrief accepts, it accepts again unchanged after writing.
func FuzzParseBrief(f *testing.F) {
	seedDocuments(f, "tiny-10?.json")
	f.Add([]byte(asJSON(f, handBrief())))
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := plan.ParseBrief(bytes.NewReader(data))
		if err != nil {
			require.ErrorIs(t, err, plan.ErrMalformed)
			return
		}
		again, err := plan.ParseBrief(strings.NewReader(asJSON(t, b)))
		require.NoError(t, err)
		require.Equal(t, asJSON(t, b), asJSON(t, again))
	})
}

// Whatever the plan, neither ParsePlan nor Verify falls over.
func FuzzParsePlan(f *testing.F) {
	seedDocuments(f, "tiny-101.plan.json")
	f.Add([]byte(asJSON(f, handPlan())))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := plan.ParsePlan(bytes.NewReader(data))
		if err != nil {
			require.ErrorIs(t, err, plan.ErrMalformed)
			return
		}
		again, err := plan.ParsePlan(strings.NewReader(asJSON(t, p)))
		require.NoError(t, err)
		require.Equal(t, asJSON(t, p), asJSON(t, again))
		if err := plan.Verify(handBrief(), p); err != nil {
			require.NotEmpty(t, err.Error())
		}
	})
}
