package rest

import (
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/route/geo"
	"hardtack/route/port"
)

// listPorts searches by name or by nearness; with neither it lists all.
func (s *server) listPorts(c echo.Context) error {
	q := params(c, "q", "near", "limit")
	text, near := q.text("q"), q.position("near")
	limit := q.whole("limit", 20, 1, 2000)
	if err := q.err(); err != nil {
		return err
	}
	found, err := s.ports(c, text, near, limit)
	if err != nil {
		return err
	}
	if found == nil {
		found = []port.Port{}
	}
	return hashed(c, map[string]any{"ports": found})
}

func (s *server) ports(c echo.Context, text string, near *geo.Position, limit int) ([]port.Port, error) {
	if near != nil {
		return s.svc.PortsNear(c.Request().Context(), *near, limit)
	}
	return s.svc.Ports(c.Request().Context(), text, limit)
}

// position reads "latitude,longitude" in decimal degrees.
func (q *query) position(name string) *geo.Position {
	text := q.text(name)
	if text == "" {
		return nil
	}
	lat, lon, _ := strings.Cut(text, ",")
	la, err1 := strconv.ParseFloat(lat, 64)
	lo, err2 := strconv.ParseFloat(lon, 64)
	p := geo.Position{Lat: la, Lon: lo}
	if err1 != nil || err2 != nil || p.Check() != nil {
		q.bad(name, "found "+quote(text)+", want latitude,longitude in decimal degrees")
	}
	return &p
}

func (s *server) getPort(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	p, err := s.svc.Port(c.Request().Context(), pricing.PortID(c.Param("port")))
	if err != nil {
		return err
	}
	return hashed(c, p)
}

func (s *server) putPort(c echo.Context) error {
	return putOne(s, c, "port", func(p *port.Port) *string { return (*string)(&p.ID) }, s.svc.PutPort)
}

func (s *server) deletePort(c echo.Context) error { return deleteOne(c, "port", s.svc.DeletePort) }

type wireItem struct {
	ID       pricing.ItemID `json:"id"`
	Name     string         `json:"name"`
	Category string         `json:"category"`
	Unit     measure.Unit   `json:"unit"`
	ListPack float64        `json:"list_pack"` // units
	Packs    []float64      `json:"packs"`
	Kcal     float64        `json:"kcal"` // per unit, edible part
	Litres   float64        `json:"litres"`
	Kg       float64        `json:"kg"`
	Keeps20  *float64       `json:"keeps_20_days,omitempty"` // absent: nothing known
	Keeps30  *float64       `json:"keeps_30_days,omitempty"`
	Keeps4   *float64       `json:"keeps_4_days,omitempty"`
	Import   string         `json:"import_class"`
	BuyHint  string         `json:"buy_hint,omitempty"`
	Source   string         `json:"source"`
}

func itemOf(i item.Item) wireItem {
	w := wireItem{
		ID: i.ID, Name: i.Name, Category: i.Category, Unit: i.Unit, ListPack: i.ListPack.Units(), Packs: []float64{},
		Kcal: i.Kcal, Litres: i.Litres, Kg: i.Kg, Keeps20: i.Shelf.At20, Keeps30: i.Shelf.At30, Keeps4: i.Shelf.At4,
		Import: i.ImportClass, BuyHint: i.BuyHint, Source: i.Source,
	}
	for _, p := range i.Packs {
		w.Packs = append(w.Packs, p.Units())
	}
	return w
}

func (s *server) listItems(c echo.Context) error {
	q := params(c, "q", "limit")
	text, limit := q.text("q"), q.whole("limit", 1000, 1, 1000)
	if err := q.err(); err != nil {
		return err
	}
	out := []wireItem{}
	for _, i := range s.svc.Items(text, limit) {
		out = append(out, itemOf(i))
	}
	return hashed(c, map[string]any{"items": out})
}

func (s *server) getItem(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	i, err := s.svc.Item(pricing.ItemID(c.Param("item")))
	if err != nil {
		return err
	}
	return hashed(c, itemOf(i))
}

type wireRate struct {
	Currency     money.Currency `json:"currency"`
	Day          calendar.Day   `json:"day"`
	PerReference float64        `json:"per_reference"`
	Source       string         `json:"source,omitempty"`
}

func (s *server) getRates(c echo.Context) error {
	q := params(c, "day")
	day := q.day("day")
	if err := q.err(); err != nil {
		return err
	}
	reference, rates, err := s.svc.RatesOn(c.Request().Context(), day)
	if err != nil {
		return err
	}
	out := make([]wireRate, len(rates))
	for i, r := range rates {
		out[i] = wireRate{Currency: r.Currency, Day: r.Day, PerReference: r.PerReference}
	}
	return hashed(c, map[string]any{"reference": reference, "rates": out})
}

type rateRequest struct {
	PerReference float64 `json:"per_reference"`
	Source       string  `json:"source,omitempty"`
}

func (s *server) putRate(c echo.Context) error {
	var in rateRequest
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	day, err := calendar.Parse(c.Param("day"))
	if err != nil {
		return &api.InvalidError{What: "rate", Faults: []api.Fault{{Path: "day", Problem: err.Error()}}}
	}
	r := db.Rate{Currency: money.Currency(c.Param("currency")), Day: day, PerReference: in.PerReference, Source: in.Source}
	if err := s.svc.PutRates(c.Request().Context(), []db.Rate{r}); err != nil {
		return err
	}
	return answer(c, http.StatusOK, wireRate(r))
}
