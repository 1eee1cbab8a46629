package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"strconv"
	"time"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/fx"
	"hardtack/pricing/item"
	"hardtack/route/port"
)

// today is the demo's fixed day, the first of its voyage.
var today = calendar.Of(time.Date(2026, time.September, 5, 0, 0, 0, 0, time.UTC))

// generate gives the demo's dataset files by name, from the seed folder.
func generate(seed fs.FS) (map[string][]byte, error) {
	cat, err := item.Load(seed)
	if err != nil {
		return nil, err
	}
	ports, err := port.Load(seed)
	if err != nil {
		return nil, err
	}
	rates, err := seed.Open("rates.csv")
	if err != nil {
		return nil, err
	}
	defer rates.Close()
	fxRates, err := fx.Read(rates)
	if err != nil {
		return nil, err
	}
	v := inventor{
		rng: rand.New(rand.NewPCG(randomSeed, 1)), goods: reported(cat), ports: ports, rates: fxRates,
		today: today, luck: map[pair]float64{},
	}
	if err := v.invent(); err != nil {
		return nil, err
	}
	v.amend()
	return v.files(cat, seed)
}

func (v *inventor) files(cat *item.Catalogue, seed fs.FS) (map[string][]byte, error) {
	rates, err := fs.ReadFile(seed, "rates.csv")
	if err != nil {
		return nil, err
	}
	ports, err := v.portRows()
	if err != nil {
		return nil, err
	}
	out := map[string][]byte{"rates.csv": rates}
	for name, rows := range map[string][][]string{
		"ports.csv": ports, "items.csv": itemRows(cat), "reports.csv": reportRows(v.reports),
	} {
		var b bytes.Buffer
		if err := csv.NewWriter(&b).WriteAll(rows); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		out[name] = b.Bytes()
	}
	return out, nil
}

func (v *inventor) portRows() ([][]string, error) {
	rows := [][]string{{"port", "name", "country", "latitude", "longitude"}}
	for _, pl := range places {
		p, ok := v.ports.Port(pl.port)
		if !ok {
			return nil, fmt.Errorf("place %s is in no gazetteer", pl.port)
		}
		rows = append(rows, []string{string(p.ID), p.Name, p.Country, decimal(p.Position.Lat), decimal(p.Position.Lon)})
	}
	return rows, nil
}

func itemRows(cat *item.Catalogue) [][]string {
	rows := [][]string{{"item", "name", "category", "unit", "list_pack"}}
	for _, id := range cat.Order {
		i := cat.Items[id]
		if i.ListPack > 0 {
			rows = append(rows, []string{string(id), i.Name, i.Category, string(i.Unit), decimal(i.ListPack.Units())})
		}
	}
	return rows
}

func reportRows(reports []pricing.Report) [][]string {
	rows := [][]string{{
		"report", "port", "item", "day", "found", "amount", "currency", "pack", "shop", "reporter", "source", "quality",
		"origin", "note", "replaces",
	}}
	for _, r := range reports {
		amount, currency, pack, quality := "", "", "", ""
		if r.Found == pricing.FoundYes {
			amount, currency, pack = r.Paid.Decimal(), string(r.Paid.Currency), decimal(r.Pack.Units())
		}
		if r.Quality > 0 {
			quality = strconv.Itoa(r.Quality)
		}
		rows = append(rows, []string{
			r.ID, string(r.Port), string(r.Item), r.Day.String(), string(r.Found), amount, currency, pack, r.Shop, r.Reporter,
			string(r.Source), quality, r.Origin, r.Note, r.Replaces,
		})
	}
	return rows
}

// decimal writes a number without exponent, as short as it can be.
func decimal(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
