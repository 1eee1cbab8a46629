package rest

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/measure"
	"hardtack/route/scale"
)

func (s *server) listStoresLists(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	ids, err := s.svc.StoresLists(c.Request().Context())
	if err != nil {
		return err
	}
	return hashed(c, map[string]any{"stores_lists": ids})
}

type wireLine struct {
	Item   pricing.ItemID `json:"item"`
	Amount float64        `json:"amount"` // in the item's unit
}

type wireList struct {
	ID     string     `json:"id"`
	People float64    `json:"people"`
	Days   float64    `json:"days"`
	Lines  []wireLine `json:"lines"`
}

func storesList(c echo.Context, k api.Kept[scale.List], err error) error {
	if err != nil {
		return conditional(c, err)
	}
	out := wireList{ID: c.Param("list"), People: k.Value.People, Days: k.Value.Days, Lines: make([]wireLine, len(k.Value.Lines))}
	for i, l := range k.Value.Lines {
		out.Lines[i] = wireLine{l.Item, l.Amount.Units()}
	}
	return tagged(c, http.StatusOK, tag(k.Revision), out)
}

func (s *server) getStoresList(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	k, err := s.svc.StoresList(c.Request().Context(), c.Param("list"))
	return storesList(c, k, err)
}

func (s *server) putStoresList(c echo.Context) error {
	file, err := s.file(c, "text/csv")
	if err != nil {
		return err
	}
	revision, err := expect(c)
	if err != nil {
		return err
	}
	k, err := s.svc.PutStoresList(c.Request().Context(), c.Param("list"), file, revision)
	return storesList(c, k, err)
}

func (s *server) deleteStoresList(c echo.Context) error {
	return deleteOne(c, "list", s.svc.DeleteStoresList)
}

type wirePacks struct {
	Count int     `json:"count"`
	Pack  float64 `json:"pack"` // in the item's unit
	Label string  `json:"label"`
}

type wireWant struct {
	Item     pricing.ItemID `json:"item"`
	Name     string         `json:"name"`
	Category string         `json:"category"`
	Unit     measure.Unit   `json:"unit"`
	Need     string         `json:"need,omitempty"`
	Amount   float64        `json:"amount"` // to have aboard in all
	Aboard   float64        `json:"aboard"`
	Buy      float64        `json:"buy"`
	Packs    []wirePacks    `json:"packs"`
	When     scale.When     `json:"when"`
	Stage    scale.Stage    `json:"stage"`
	Place    scale.Place    `json:"place"`
	EatBy    int            `json:"eat_by,omitempty"` // day of the passage
	Instead  bool           `json:"instead,omitempty"`
	Hint     string         `json:"hint,omitempty"`
}

type wireScaled struct {
	People float64    `json:"people"`
	Days   float64    `json:"days"`
	Own    bool       `json:"own"` // scaled from the skipper's list, not the catalogue's
	Wants  []wireWant `json:"wants"`
	Notes  []string   `json:"notes"`
	Kcal   float64    `json:"kcal_per_person_day"`
	WaterL float64    `json:"water_l_per_person_day"`
	GasKg  float64    `json:"gas_kg_per_person_day"`
	Kg     float64    `json:"kg"`
	Litres float64    `json:"litres"`
}

func (s *server) postScale(c echo.Context) error {
	var in api.ScaleRequest
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	r, err := s.svc.Scale(c.Request().Context(), in)
	if err != nil {
		return err
	}
	out := wireScaled{
		People: r.For.People, Days: r.For.Days, Own: r.From.Own, Notes: english(r.Notes), Wants: make([]wireWant, len(r.Wants)),
		Kcal: r.Kcal, WaterL: r.WaterL, GasKg: r.GasKg, Kg: r.Kg, Litres: r.Litres,
	}
	for i, w := range r.Wants {
		out.Wants[i] = wantOf(w)
	}
	return answer(c, http.StatusOK, out)
}

func wantOf(w scale.Want) wireWant {
	out := wireWant{
		Item: w.Item, Name: w.Name, Category: w.Category, Unit: w.Unit, Need: w.Need, Amount: w.Amount.Units(),
		Aboard: w.Aboard.Units(), Buy: w.Buy.Units(), Packs: []wirePacks{}, When: w.When, Stage: w.Stage, Place: w.Place,
		EatBy: w.EatBy, Instead: w.Instead, Hint: w.Hint,
	}
	for _, p := range w.Packs {
		out.Packs = append(out.Packs, wirePacks{p.Count, p.Quantity.Units(), p.Label})
	}
	return out
}
