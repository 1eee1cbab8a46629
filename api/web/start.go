package web

import (
	"errors"
	"net/http"
	"strconv"
	"strings"

	"hardtack/api"
	"hardtack/pricing/wording"
	"hardtack/route"
	"hardtack/route/geo"
)

// startPage asks for what a first plan needs, and keeps what was typed.
type startPage struct {
	Frame
	Sent     bool // this answers a form that was sent
	Faults   []string
	Said     []string // what was taken for what in a route file
	Boat     bool     // the boat and crew are asked for as well
	Lengths  []choice
	Holds    []field
	Adults   string
	Children string
	Name     string
	Begin    string
	Home     string
	Monies   []string
	Rows     []routeRow
}

// field is a number asked for.
type field struct {
	Name, Label, Value string
}

// routeRow is one call asked for.
type routeRow struct {
	N       int
	Text    string // as typed
	ID      string // of the port that is meant, once known
	Days    string
	Via     string // positions of a route file on the way to the next
	Fault   string
	Choices []portChoice
}

type portChoice struct {
	ID, Label string
	On        bool
}

const (
	firstRows = 4
	moreRows  = 4
	maxRows   = 60
)

func (s *site) getStart(q *request) error {
	asksBoat, err := q.asksBoat()
	if err != nil {
		return err
	}
	p := startPage{
		Boat: asksBoat, Adults: "2", Begin: (q.svc.Today() + 7).String(), Home: "EUR",
		Lengths: q.lengths("middle"), Rows: emptyRows(nil, firstRows),
	}
	return q.showStart(http.StatusOK, &p)
}

// asksBoat says whether no boat or no crew is kept yet.
func (q *request) asksBoat() (bool, error) {
	vs, err := q.svc.Vessels(q.r.Context())
	if err != nil {
		return false, err
	}
	cs, err := q.svc.Crews(q.r.Context())
	return len(vs) == 0 || len(cs) == 0, err
}

func (q *request) showStart(status int, p *startPage) error {
	_, rates, err := q.svc.RatesOn(q.r.Context(), q.svc.Today())
	if err != nil {
		return err
	}
	for _, r := range rates {
		p.Monies = append(p.Monies, string(r.Currency))
	}
	if p.Holds == nil {
		p.Holds = q.holdFields()
	}
	return q.show(status, "start", q.frame(q.say("start.title"), q.startPlace(), q.voyageHere()), p)
}

// startPlace is where in the navigation the start page is.
func (q *request) startPlace() string {
	if q.voyageHere() == "" {
		return "start"
	}
	return "season"
}

// emptyRows puts n more rows behind rows.
func emptyRows(rows []routeRow, n int) []routeRow {
	for range n {
		if len(rows) < maxRows {
			rows = append(rows, routeRow{N: len(rows)})
		}
	}
	return rows
}

// postStart takes a route file, makes room for more stops, or plans.
func (s *site) postStart(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	asksBoat, err := q.asksBoat()
	if err != nil {
		return err
	}
	p := &startPage{
		Sent: true,
		Boat: asksBoat, Lengths: q.lengths(q.text("length")), Holds: q.holdFields(), Adults: q.text("adults"), Children: q.text("children"),
		Name: q.text("name"), Begin: q.text("begin"), Home: strings.ToUpper(q.text("home")), Rows: q.rows(),
	}
	if f, _, ok := q.file("gpx"); ok {
		return q.startFromGPX(p, func() (route.Voyage, []wording.Remark, error) { return q.svc.ImportGPX(q.r.Context(), f) })
	}
	if q.text("do") == "rows" {
		p.Rows = emptyRows(p.Rows, moreRows)
		return q.showStart(http.StatusOK, p)
	}
	return q.begin(p)
}

func (q *request) startFromGPX(p *startPage, read func() (route.Voyage, []wording.Remark, error)) error {
	v, said, err := read()
	var invalid *api.InvalidError
	if errors.As(err, &invalid) {
		p.Faults = q.faultLines(invalid)
		return q.showStart(http.StatusUnprocessableEntity, p)
	}
	if err != nil {
		return err
	}
	g, err := q.svc.Gazetteer(q.r.Context())
	if err != nil {
		return err
	}
	f := q.frame("", "", "")
	p.Said, p.Rows = f.TellAll(said), nil
	for i, stop := range v.Stops {
		at, _ := g.Port(stop.Port)
		p.Rows = append(p.Rows, routeRow{N: i, Text: at.Name, ID: string(stop.Port), Days: "5", Via: viaText(stop.Leg.Via)})
	}
	if p.Name == "" {
		p.Name = v.Name
	}
	return q.showStart(http.StatusOK, p)
}

func viaText(via []geo.Position) string {
	var out []string
	for _, p := range via {
		out = append(out, strconv.FormatFloat(p.Lat, 'f', 4, 64)+","+strconv.FormatFloat(p.Lon, 'f', 4, 64))
	}
	return strings.Join(out, " ")
}

func viaOf(text string) []geo.Position {
	var out []geo.Position
	for part := range strings.FieldsSeq(text) {
		lat, lon, _ := strings.Cut(part, ",")
		la, err1 := strconv.ParseFloat(lat, 64)
		lo, err2 := strconv.ParseFloat(lon, 64)
		if p := (geo.Position{Lat: la, Lon: lo}); err1 == nil && err2 == nil && p.Check() == nil {
			out = append(out, p)
		}
	}
	return out
}
