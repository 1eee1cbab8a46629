package rest_test

import (
	"fmt"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/rest"
	"hardtack/pricing/estimate"
)

func TestASlipIsAskedAbout(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	usual := object{"reports": []object{
		with(coffee(), "id", id(1)), with(coffee(), "id", id(2), "reporter", "b"), with(coffee(), "id", id(3), "reporter", "c"),
	}}
	var done api.Recorded
	c.do("POST", "/v1/reports", usual).want(http.StatusCreated).into(&done)
	require.Empty(t, done.Questions)
	slip := func(n int, amount string) object {
		return object{"reports": []object{with(coffee(), "id", id(n), "amount", amount)}}
	}
	p := c.do("POST", "/v1/reports?ask=true", slip(4, "45.00")).problem(http.StatusUnprocessableEntity)
	require.Equal(t, "urn:hardtack:problem:questioned", p.Type)
	asked := p.at(t, "reports[0].amount")
	require.Contains(t, asked.Problem, "times the usual here")
	require.Equal(t, api.Meant{Reason: "decimal", Amount: "4.50", Currency: "EUR", Pack: "250 g"}, asked.Meant[0])
	require.Len(t, reports(c, ""), 3, "nothing was recorded")

	c.do("POST", "/v1/reports", slip(4, "45.00")).want(http.StatusCreated).into(&done)
	require.Len(t, done.Questions, 1)
	require.Len(t, reports(c, ""), 4, "nothing is dropped")
	var fine api.Recorded
	c.do("POST", "/v1/reports?ask=true", slip(5, "4.40")).want(http.StatusCreated).into(&fine)
	require.Empty(t, fine.Questions)

	receipt := object{
		"port": "PTHOR", "day": "2026-06-10", "currency": "EUR", "reporter": "d",
		"lines": []object{{"item": coffee()["item"], "amount": "45.00", "pack": "250 g"}},
	}
	p = c.do("POST", "/v1/receipts?ask=true", receipt).problem(http.StatusUnprocessableEntity)
	require.NotEmpty(t, p.at(t, "lines[0].amount").Meant)
}

func TestWhyNamesTheReportsBehindAnEstimate(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	c.do("PUT", "/v1/reports/"+id(1), coffee()).want(http.StatusCreated)
	var why struct {
		Price, Own float64
		Reports    []struct {
			Report string
			Weight float64
		}
	}
	c.do("GET", "/v1/estimates/why?port=PTHOR&item="+someItem, nil).want(http.StatusOK).into(&why)
	require.Positive(t, why.Price)
	require.Len(t, why.Reports, 1)
	require.Equal(t, id(1), why.Reports[0].Report)
	require.InDelta(t, why.Own, why.Reports[0].Weight, 1e-9)
	c.do("GET", "/v1/estimates/why?port=PTHOR&item=nothing", nil).problem(http.StatusUnprocessableEntity)
}

// Of ten reporters one always says three times as much: that one stands out.
func TestStandoutsAreListed(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	var who struct{ Standouts []estimate.Standout }
	c.do("GET", "/v1/standouts", nil).want(http.StatusOK).into(&who)
	require.Equal(t, []estimate.Standout{}, who.Standouts, "an empty list, not null")
	items := []string{"coffee_ground_vac", "rice_white", "pasta_long", "sugar_white", "salt", "honey"}
	var all []object
	for n := range 60 {
		amount := fmt.Sprintf("%.2f", 4+0.05*float64(n%7))
		if n%10 == 0 {
			amount = "9.30"
		}
		all = append(all, with(coffee(), "id", id(n+1), "item", items[n/10], "amount", amount, "pack", "1 kg", "reporter", fmt.Sprint("r", n%10)))
	}
	c.do("POST", "/v1/reports", object{"reports": all}).want(http.StatusCreated)
	c.do("GET", "/v1/standouts", nil).want(http.StatusOK).into(&who)
	require.Len(t, who.Standouts, 1)
	require.Equal(t, "r0", who.Standouts[0].Reporter)
	require.Greater(t, who.Standouts[0].Times, 1.5)
}
