package dataset

import (
	"encoding/csv"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"

	"hardtack/pricing"
	"hardtack/pricing/estimate"
	"hardtack/pricing/sheet"
	"hardtack/pricing/world"
)

// Invented is an invented world as a dataset.
func Invented(w *world.World) Dataset {
	d := Dataset{Rates: w.Rates, Reports: w.Reports}
	for _, p := range w.Ports {
		d.Ports = append(d.Ports, Port{ID: p.ID, Name: "invented " + string(p.ID), Country: p.Country, Latitude: p.Latitude, Longitude: p.Longitude, Placed: true})
	}
	for _, i := range w.Items {
		d.Items = append(d.Items, Item{ID: i.ID, Name: "invented " + string(i.ID), Category: i.Category, Unit: i.Unit, ListPack: i.ListPack})
	}
	return d
}

var truthColumns = []string{"port", "item", "day", "price", "receipt"}

// WriteTruth writes the true prices of an invented world, and of each pair one
// receipt: in the reference currency per unit of the item in its list pack.
func WriteTruth(to io.Writer, w *world.World) error {
	c := csv.NewWriter(to)
	write(c, truthColumns...)
	for _, p := range w.Pairs {
		write(c, string(w.Ports[p.Port].ID), string(w.Items[p.Item].ID), w.Day.String(), short(math.Exp(p.Log)), short(math.Exp(p.Receipt)))
	}
	return flushed(c, "true prices")
}

// WriteFaults writes which reports of an invented world are wrong, and by
// which factor a slip made them so.
func WriteFaults(to io.Writer, w *world.World) error {
	c := csv.NewWriter(to)
	write(c, "report", "fault", "factor")
	for _, id := range slices.Sorted(maps.Keys(w.Slipped)) {
		write(c, id, "slip", short(math.Exp(w.Slipped[id])))
	}
	for _, id := range slices.Sorted(maps.Keys(w.Lied)) {
		write(c, id, "lie", "")
	}
	return flushed(c, "faults")
}

// ReadTruth reads what WriteTruth writes. Errors: ErrRefused or of r.
func ReadTruth(r io.Reader, file string, d Dataset) ([]estimate.Known, []Rejection, error) {
	s, err := sheet.NewReader(r, file, truthColumns)
	if err != nil {
		return nil, nil, err
	}
	hasPort, hasItem := d.hasPort(), d.hasItem()
	var out []estimate.Known
	for s.Next() {
		k := estimate.Known{Port: pricing.PortID(s.Text(0)), Item: pricing.ItemID(s.Text(1)), Day: s.Day(2)}
		if !hasPort(k.Port) {
			s.Reject(0, "the id of a port in ports.csv")
		}
		if !hasItem(k.Item) {
			s.Reject(1, "the id of an item in items.csv")
		}
		const want = "a decimal number above 0"
		k.Log = math.Log(s.Number(3, math.SmallestNonzeroFloat64, math.MaxFloat64, want))
		k.Receipt = math.Log(s.Number(4, math.SmallestNonzeroFloat64, math.MaxFloat64, want))
		if !s.Bad() {
			out = append(out, k)
		}
	}
	return out, s.Rejected(), s.Err()
}

// writeScores writes an evaluation as a table: every estimator in every part,
// then the model's scores over the best simple habit's.
func writeScores(w io.Writer, e estimate.Evaluation) error {
	c := csv.NewWriter(w)
	write(c, "part", "pairs", "estimator", "rmse_log", "mae_log", "coverage80", "crps_log")
	for _, p := range e.Parts {
		pairs := strconv.Itoa(p.Pairs)
		for _, s := range p.Scores {
			write(c, p.Name, pairs, s.Name, short(s.RMSE), short(s.MAE), short(s.Coverage), short(s.CRPS))
		}
		write(c, p.Name, pairs, "model over best habit", short(p.Ratio), "", "", short(p.CRPSRatio))
		if p.TruthCRPS > 0 {
			write(c, p.Name, pairs, "the true price", "0", "0", "", short(p.TruthCRPS))
		}
	}
	return flushed(c, "scores")
}
