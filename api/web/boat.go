package web

import (
	"hardtack/api"
	"hardtack/route/vessel"
)

// vessel is the boat: the one changed last.
func (q *request) vessel() (vessel.Vessel, int64, error) {
	all, err := q.svc.Vessels(q.r.Context())
	return newest(all, err)
}

// crew is the crew changed last.
func (q *request) crew() (vessel.Crew, int64, error) {
	all, err := q.svc.Crews(q.r.Context())
	return newest(all, err)
}

func newest[T any](all []api.Kept[T], err error) (T, int64, error) {
	var best api.Kept[T]
	for _, k := range all {
		if k.Revision > best.Revision {
			best = k
		}
	}
	if err == nil && best.Revision == 0 {
		err = api.ErrNotFound
	}
	return best.Value, best.Revision, err
}
