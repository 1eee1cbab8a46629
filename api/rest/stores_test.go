package rest_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api/rest"
)

type scaled struct {
	Own   bool
	Kcal  float64 `json:"kcal_per_person_day"`
	Wants []struct {
		Item                string
		Amount, Aboard, Buy float64
	}
}

func (s scaled) of(item string) (amount, buy float64) {
	for _, w := range s.Wants {
		if w.Item == item {
			return w.Amount, w.Buy
		}
	}
	return 0, 0
}

// "A list that feeds six for 12 days feeds two for 36": common practice, no
// source.
func TestAListForOthers(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	csv := "people,6\ndays,12\nitem,amount\n" + someItem + ",7.2 kg\n"
	c.do("PUT", "/v1/stores-lists/ours", csv, "Content-Type", "text/csv", "If-None-Match", "*").want(http.StatusOK)
	c.do("PUT", "/v1/stores-lists/ours", csv+someItem+",1 kg\n", "Content-Type", "text/csv", "If-None-Match", "*").problem(http.StatusPreconditionFailed)
	var out scaled
	c.do("POST", "/v1/scale", object{"list": "ours", "people": 2, "days": 36}).want(http.StatusOK).into(&out)
	amount, _ := out.of(someItem)
	require.InDelta(t, 7.2, amount, 1e-6)
	require.True(t, out.Own)

	c.do("PUT", "/v1/vessels/mine", vessel()).want(http.StatusOK)
	c.do("PUT", "/v1/vessels/mine/aboard", object{"lots": []object{{"item": someItem, "space": "bilge", "amount": "7 kg"}}}).want(http.StatusOK)
	c.do("POST", "/v1/scale", object{"list": "ours", "people": 2, "days": 36, "vessel": "mine"}).want(http.StatusOK).into(&out)
	_, buy := out.of(someItem)
	require.Less(t, buy, 2.0)

	var ids object
	c.do("GET", "/v1/stores-lists", nil).want(http.StatusOK).into(&ids)
	require.Equal(t, []any{"ours"}, ids["stores_lists"])
	c.do("GET", "/v1/stores-lists/ours", nil).want(http.StatusOK)
	c.do("DELETE", "/v1/stores-lists/ours", nil).want(http.StatusNoContent)
	c.do("POST", "/v1/scale", object{"list": "ours", "people": 2, "days": 36}).problem(http.StatusNotFound)
}

func TestAListForThoseWhoHaveNone(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	var out scaled
	c.do("POST", "/v1/scale", object{"people": 3, "days": 12}).want(http.StatusOK).into(&out)
	require.False(t, out.Own)
	require.Greater(t, len(out.Wants), 30)
	for _, bad := range []object{{"people": 0, "days": 12}, {"people": -1, "days": 12}, {"people": 3}, {"people": 3, "days": 1e9}, {"people": 3, "days": 3, "fridge": -1}} {
		c.do("POST", "/v1/scale", bad).problem(http.StatusUnprocessableEntity)
	}
	for _, bad := range []string{"", "item,amount\n" + someItem + ",3 l\n", "unobtainium,3 kg\n", someItem + ",3 kg\n", "people,0\ndays,1\n" + someItem + ",3 kg\n"} {
		require.NotEmpty(t, c.do("PUT", "/v1/stores-lists/l", bad, "Content-Type", "text/csv").problem(http.StatusUnprocessableEntity).Errors)
	}
}
