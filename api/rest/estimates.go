package rest

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/estimate"
	"hardtack/pricing/money"
)

type estimates struct {
	Currency  money.Currency `json:"currency"`
	Estimates []api.Believed `json:"estimates"`
}

// maxPairs is how many estimates one request may ask for.
const maxPairs = 20_000

// getEstimates answers for every pair of the ports and items named.
func (s *server) getEstimates(c echo.Context) error {
	q := params(c, "port", "item", "day")
	ports, items, day := q.texts("port"), q.texts("item"), q.day("day")
	if len(ports) == 0 || len(items) == 0 {
		q.bad("port", "want at least one port and one item; each may be given several times")
	}
	if len(ports)*len(items) > maxPairs {
		q.bad("port", "too many pairs at once")
	}
	if err := q.err(); err != nil {
		return err
	}
	var pairs []api.Pair
	for _, p := range ports {
		for _, i := range items {
			pairs = append(pairs, api.Pair{Port: pricing.PortID(p), Item: pricing.ItemID(i), Day: day})
		}
	}
	out, err := s.believed(c, pairs)
	if err != nil {
		return err
	}
	return hashed(c, out)
}

type pairsRequest struct {
	Pairs []api.Pair `json:"pairs"`
}

func (s *server) postEstimates(c echo.Context) error {
	var in pairsRequest
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	if n := len(in.Pairs); n == 0 || n > maxPairs {
		return &api.InvalidError{What: "estimates", Faults: []api.Fault{{Path: "pairs", Problem: "want 1 to 20000 of them"}}}
	}
	out, err := s.believed(c, in.Pairs)
	if err != nil {
		return err
	}
	return answer(c, http.StatusOK, out)
}

func (s *server) believed(c echo.Context, pairs []api.Pair) (estimates, error) {
	for i := range pairs {
		if pairs[i].Day.IsZero() {
			pairs[i].Day = s.svc.Today()
		}
	}
	currency, es, err := s.svc.Estimates(c.Request().Context(), pairs)
	if err != nil {
		return estimates{}, err
	}
	out := estimates{Currency: currency, Estimates: make([]api.Believed, len(es))}
	for i, e := range es {
		out.Estimates[i] = pairs[i].Believed(e)
	}
	return out, nil
}

// why is what is behind an estimate.
type why struct {
	Currency money.Currency `json:"currency"`
	Price    float64        `json:"price"`
	estimate.Explanation
}

func (s *server) getWhy(c echo.Context) error {
	q := params(c, "port", "item")
	port, it := q.text("port"), q.text("item")
	if err := q.err(); err != nil {
		return err
	}
	currency, e, err := s.svc.Why(c.Request().Context(), pricing.PortID(port), pricing.ItemID(it))
	if err != nil {
		return err
	}
	e.Pulls, e.Reports = append([]estimate.Pull{}, e.Pulls...), append([]estimate.Witness{}, e.Reports...)
	return hashed(c, why{currency, e.Estimate.Price, e})
}

// getQuestioned lists the reports held back as probable slips.
func (s *server) getQuestioned(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	held, err := s.svc.Questioned(c.Request().Context())
	if err != nil {
		return err
	}
	return hashed(c, map[string]any{"questioned": append([]estimate.Questioned{}, held...)})
}
