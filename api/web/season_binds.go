package web

import (
	"hardtack/api"
	"hardtack/route/plan"
)

// binds is what limits the plan, when it was worked out.
func (q *request) binds(k api.Kept[api.Planned]) ([]string, bool) {
	known, ok := q.svc.KnownBinds(k)
	f := q.frame("", "", "")
	var out []string
	for _, b := range known.Binds {
		out = append(out, f.Tell(b.Told))
	}
	return out, ok
}

// postBinds works it out: some seconds for each space, once for a plan.
func (s *site) postBinds(q *request) error {
	v, k, err := q.planned()
	if err != nil {
		return err
	}
	if _, known := q.svc.KnownBinds(k); !known {
		if _, err := q.svc.Binds(q.r.Context(), v.ID, plan.Budget{}); err != nil {
			return err
		}
	}
	return q.goTo("voyage", v.ID+"#binds")
}
