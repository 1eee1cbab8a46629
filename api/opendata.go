package api

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"strings"

	"hardtack/db"
	"hardtack/pricing/dataset"
)

// licence of what is told to everybody: anybody may use it for anything and
// says where it is from. The text of the licence is the outside's own.
const licence = `Prices in ports, as boats reported them, with the months they are of.

This dataset is made available under the Open Data Commons Attribution License
(ODC-By) v1.0, https://opendatacommons.org/licenses/by/1-0/. Say that it is from
the reports of boats, and from which server you have it.

What may be read from it: the price of a usual pack in the port's own currency,
about, as one of several boats reported it in that month. Who it was and on
which day is not in it. It says nothing about what is for sale today.
`

// OpenData writes all that is told to everybody as a port price dataset, with
// its licence and a file of SHA-256 sums, each to what create gives for its
// name. It gives how many reports that are.
func (s *Service) OpenData(ctx context.Context, create func(name string) (io.WriteCloser, error)) (int, error) {
	d, err := s.told(ctx)
	if err != nil {
		return 0, err
	}
	var sums strings.Builder
	summed := func(name string) (io.WriteCloser, error) {
		w, err := create(name)
		if err != nil {
			return nil, err
		}
		h := sha256.New()
		return closing{io.MultiWriter(w, h), func() error {
			fmt.Fprintf(&sums, "%s  %s\n", hex.EncodeToString(h.Sum(nil)), name)
			return w.Close()
		}}, nil
	}
	if err := dataset.Write(d, summed); err != nil {
		return 0, err
	}
	for _, f := range []struct{ name, text string }{{"LICENCE.txt", licence}} {
		if err := writeText(summed, f.name, f.text); err != nil {
			return 0, err
		}
	}
	return len(d.Reports), writeText(create, "SHA256SUMS", sums.String())
}

type closing struct {
	io.Writer
	close func() error
}

func (c closing) Close() error { return c.close() }

func writeText(create func(string) (io.WriteCloser, error), name, text string) error {
	w, err := create(name)
	if err != nil {
		return err
	}
	_, err = io.WriteString(w, text)
	if closed := w.Close(); err == nil {
		err = closed
	}
	return err
}

// told is what everybody is told, as a dataset.
func (s *Service) told(ctx context.Context) (dataset.Dataset, error) {
	p, err := s.place(ctx)
	if err != nil {
		return dataset.Dataset{}, err
	}
	d := dataset.Dataset{Rates: p.rates}
	for _, q := range p.gazetteer.All() {
		d.Ports = append(d.Ports, dataset.Port{ID: q.ID, Name: q.Name, Country: q.Country, Latitude: q.Position.Lat, Longitude: q.Position.Lon, Placed: true})
	}
	for _, id := range s.world.Catalogue.Order {
		if i := s.world.Catalogue.Items[id]; i.ListPack > 0 {
			d.Items = append(d.Items, dataset.Item{ID: id, Name: i.Name, Category: i.Category, Unit: i.Unit, ListPack: i.ListPack})
		}
	}
	shelf, err := s.published(ctx)
	if err != nil {
		return d, err
	}
	for mark := (db.Mark{}); ; {
		page, err := shelf.Records(ctx, db.Feed{}, mark, 1000)
		if err != nil || len(page) == 0 {
			return d, err
		}
		for _, f := range page {
			d.Reports = append(d.Reports, f.Report)
			mark = f.Mark
		}
	}
}
