package web

import (
	"errors"

	"hardtack/api"
	"hardtack/route"
)

// home is the season that was changed last, or the way to a first one.
func (s *site) home(q *request) error {
	v, err := q.newest()
	if errors.Is(err, api.ErrNotFound) {
		return s.getStart(q)
	}
	if err != nil {
		return err
	}
	return s.showSeason(q, v)
}

// newest is the voyage that was changed last, ErrNotFound when there is none.
func (q *request) newest() (route.Voyage, error) {
	all, err := q.svc.Voyages(q.r.Context())
	if err != nil {
		return route.Voyage{}, err
	}
	best, at := route.Voyage{}, int64(0)
	for _, k := range all {
		if k.Revision > at {
			best, at = k.Value, k.Revision
		}
	}
	if at == 0 {
		return best, api.ErrNotFound
	}
	return best, nil
}

// voyageHere is the id of the newest voyage for the navigation, or nothing.
func (q *request) voyageHere() string {
	v, _ := q.newest() // none is as good as unknown: the page is not about it
	return v.ID
}

// voyage is the one named in the path.
func (q *request) voyage() (route.Voyage, error) {
	k, err := q.svc.Voyage(q.r.Context(), q.r.PathValue("voyage"))
	return k.Value, err
}

// planned is the voyage named in the path with its last plan.
func (q *request) planned() (route.Voyage, api.Kept[api.Planned], error) {
	v, err := q.voyage()
	if err != nil {
		return v, api.Kept[api.Planned]{}, err
	}
	k, err := q.svc.LastPlan(q.r.Context(), v.ID)
	return v, k, err
}
