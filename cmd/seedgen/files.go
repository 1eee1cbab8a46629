package main

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"time"

	"hardtack/pricing/calendar"
	"hardtack/pricing/dataset"
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
	rates, err := loadRates(seed)
	if err != nil {
		return nil, err
	}
	v := inventor{
		rng: rand.New(rand.NewPCG(randomSeed, 1)), goods: reported(cat), ports: ports, rates: rates,
		today: today, luck: map[pair]float64{},
	}
	if err := v.invent(); err != nil {
		return nil, err
	}
	v.amend()
	d := dataset.Dataset{Items: itemsOf(cat), Rates: rates, Reports: v.reports}
	if d.Ports, err = v.visited(); err != nil {
		return nil, err
	}
	return files(d)
}

func loadRates(seed fs.FS) (fx.Rates, error) {
	f, err := seed.Open("rates.csv")
	if err != nil {
		return fx.Rates{}, err
	}
	defer f.Close()
	return fx.Read(f)
}

// visited gives the ports of the invented world, those without visitors too.
func (v *inventor) visited() ([]dataset.Port, error) {
	var out []dataset.Port
	for _, pl := range places {
		p, ok := v.ports.Port(pl.port)
		if !ok {
			return nil, fmt.Errorf("place %s is in no gazetteer", pl.port)
		}
		out = append(out, dataset.Port{
			ID: p.ID, Name: p.Name, Country: p.Country, Latitude: p.Position.Lat, Longitude: p.Position.Lon, Placed: true,
		})
	}
	return out, nil
}

func itemsOf(cat *item.Catalogue) []dataset.Item {
	var out []dataset.Item
	for _, id := range cat.Order {
		if i := cat.Items[id]; i.ListPack > 0 {
			out = append(out, dataset.Item{ID: id, Name: i.Name, Category: i.Category, Unit: i.Unit, ListPack: i.ListPack})
		}
	}
	return out
}

func files(d dataset.Dataset) (map[string][]byte, error) {
	buffers := map[string]*bytes.Buffer{}
	err := dataset.Write(d, func(name string) (io.WriteCloser, error) {
		buffers[name] = &bytes.Buffer{}
		return closer{buffers[name]}, nil
	})
	out := map[string][]byte{}
	for name, b := range buffers {
		out[name] = b.Bytes()
	}
	return out, err
}

type closer struct{ io.Writer }

func (closer) Close() error { return nil }
