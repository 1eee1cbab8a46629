package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"

	"hardtack/api"
	"hardtack/db"
	"hardtack/pricing/calendar"
	"hardtack/seed"
)

// service opens the database, lets f work with it and closes it.
func (sh *shell) service(f func(*api.Service) error) error {
	where, err := sh.database()
	if err != nil {
		return err
	}
	now, err := sh.clock()
	if err != nil {
		return err
	}
	return sh.serviceAt(where, api.Options{Now: now}, f)
}

// clock is the machine's, unless HARDTACK_TODAY names a day: a script that is
// to give the same plan next year sets it.
func (sh *shell) clock() (func() time.Time, error) {
	text := sh.getenv("HARDTACK_TODAY")
	if text == "" {
		return time.Now, nil
	}
	day, err := calendar.Parse(text)
	if err != nil {
		return nil, fmt.Errorf("%w: HARDTACK_TODAY: %w", errUsage, err)
	}
	noon := day.Time().Add(12 * time.Hour)
	return func() time.Time { return noon }, nil
}

func (sh *shell) serviceAt(where string, o api.Options, f func(*api.Service) error) error {
	return sh.serviceBeside(where, "", o, f)
}

// serviceBeside also has a replica to read from; an empty one is none.
func (sh *shell) serviceBeside(where, replica string, o api.Options, f func(*api.Service) error) error {
	w, err := api.LoadWorld(seed.FS)
	if err != nil {
		return err
	}
	d, err := db.OpenBeside(sh.ctx, where, replica)
	if err != nil {
		return err
	}
	return errors.Join(f(api.New(d, w, o)), d.Close())
}

// readJSON reads a JSON document of a file strictly: what is not understood is
// said, never dropped.
func readJSON[T any](sh *shell, name string) (T, error) {
	return read(sh, name, func(r io.Reader) (v T, err error) {
		d := json.NewDecoder(r)
		d.DisallowUnknownFields()
		if err := d.Decode(&v); err != nil {
			return v, fmt.Errorf("%w: %w; nothing was changed", errRefused, err)
		}
		if _, err := d.Token(); !errors.Is(err, io.EOF) {
			return v, fmt.Errorf("%w: more than one JSON document; nothing was changed", errRefused)
		}
		return v, nil
	})
}

// oneOf is the id given, or the only one there is.
func oneOf(kind, id string, ids []string) (string, error) {
	switch {
	case id != "":
		return id, nil
	case len(ids) == 1:
		return ids[0], nil
	case len(ids) == 0:
		return "", fmt.Errorf("%s: %w: none is kept yet, enter one with \"hardtack %s set FILE\"", kind, api.ErrNotFound, kind)
	}
	return "", fmt.Errorf("%w: %d of the kind %q are kept, name one: %v", errUsage, len(ids), kind, ids)
}

// voyageOf is the voyage named, or the only one there is.
func (sh *shell) voyageOf(s *api.Service, id string) (string, error) {
	all, err := s.Voyages(sh.ctx)
	if err != nil {
		return "", err
	}
	var ids []string
	for _, v := range all {
		ids = append(ids, v.Value.ID)
	}
	return oneOf("voyage", id, ids)
}

// vesselOf is the vessel named, or the only one there is.
func (sh *shell) vesselOf(s *api.Service, id string) (string, error) {
	all, err := s.Vessels(sh.ctx)
	if err != nil {
		return "", err
	}
	var ids []string
	for _, v := range all {
		ids = append(ids, v.Value.ID)
	}
	return oneOf("vessel", id, ids)
}

// crewOf is the crew named, or the only one there is.
func (sh *shell) crewOf(s *api.Service, id string) (string, error) {
	all, err := s.Crews(sh.ctx)
	if err != nil {
		return "", err
	}
	var ids []string
	for _, v := range all {
		ids = append(ids, v.Value.ID)
	}
	return oneOf("crew", id, ids)
}
