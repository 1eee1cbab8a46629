package api

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"

	"hardtack/route"
	"hardtack/route/brief"
	"hardtack/route/vessel"
)

// LoadSeason takes a season from a folder: vessel.json, crew.json, voyage.json,
// aboard.csv, wishes.json and reports.csv. Loaded again it changes nothing.
// It gives the id of the voyage.
func (s *Service) LoadSeason(ctx context.Context, files fs.FS) (string, error) {
	l := seasonLoader{s: s, ctx: ctx, files: files}
	for _, step := range []func() error{l.boat, l.crew, l.voyage, l.aboard, l.reports} {
		if err := step(); err != nil {
			return "", fmt.Errorf("load the season: %w", err)
		}
	}
	return l.id, nil
}

type seasonLoader struct {
	s     *Service
	ctx   context.Context
	files fs.FS
	set   Settings
	id    string // of the voyage
}

func (l *seasonLoader) boat() error {
	v, err := readFile[vessel.Vessel](l.files, "vessel.json")
	if err != nil {
		return err
	}
	l.set.Vessel = v.ID
	_, err = l.s.PutVessel(l.ctx, v, AnyRevision)
	return err
}

func (l *seasonLoader) crew() error {
	c, err := readFile[vessel.Crew](l.files, "crew.json")
	if err != nil {
		return err
	}
	l.set.Crew = c.ID
	_, err = l.s.PutCrew(l.ctx, c, AnyRevision)
	return err
}

func (l *seasonLoader) voyage() error {
	v, err := readFile[route.Voyage](l.files, "voyage.json")
	if err != nil {
		return err
	}
	if l.set.Wishes, err = readFile[[]brief.Wish](l.files, "wishes.json"); err != nil {
		return err
	}
	l.id = v.ID
	if _, err := l.s.PutVoyage(l.ctx, v, AnyRevision); err != nil {
		return err
	}
	_, err = l.s.PutSettings(l.ctx, v.ID, l.set, AnyRevision)
	return err
}

func (l *seasonLoader) aboard() error {
	f, err := l.files.Open("aboard.csv")
	if err != nil {
		return err
	}
	_, err = l.s.Count(l.ctx, l.set.Vessel, f, CountOptions{}, AnyRevision)
	return errors.Join(err, f.Close())
}

func (l *seasonLoader) reports() error {
	f, err := l.files.Open("reports.csv")
	if err != nil {
		return err
	}
	_, err = l.s.Import(l.ctx, f, ImportOptions{File: "reports.csv"})
	return errors.Join(err, f.Close())
}

func readFile[T any](files fs.FS, name string) (v T, err error) {
	f, err := files.Open(name)
	if err != nil {
		return v, err
	}
	defer f.Close()
	d := json.NewDecoder(f)
	d.DisallowUnknownFields()
	if err := d.Decode(&v); err != nil {
		return v, fmt.Errorf("%s: %w", name, err)
	}
	return v, nil
}
