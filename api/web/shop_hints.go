package web

import (
	"errors"

	"hardtack/api"
	"hardtack/pricing"
)

// shopHints are what the boat's own books say before this shopping: of things
// on the list, and of others. They are what was found in a bad way before,
// pests, what people ahead wish for, and what is owed to somebody.
func (q *request) shopHints(f *Frame, x api.Planned, stop int) (of map[pricing.ItemID][]string, others []string, err error) {
	of = map[pricing.ItemID][]string{}
	boat, _, err := q.vessel()
	if errors.Is(err, api.ErrNotFound) {
		return of, nil, nil
	} else if err != nil {
		return nil, nil, err
	}
	hints, err := q.svc.Hints(q.r.Context(), boat.ID, x.Voyage, stop)
	if err != nil {
		return nil, nil, err
	}
	for _, h := range hints {
		row := q.hintRow(f, h)
		words := joined(row.What, row.Place) + " (" + row.Day + ")"
		if row.Note != "" {
			words += ": " + row.Note
		}
		if h.Item != "" {
			of[h.Item] = append(of[h.Item], words)
			continue
		}
		others = append(others, words)
	}
	accounts, err := q.svc.Ledger(q.r.Context(), boat.ID)
	if err != nil {
		return nil, nil, err
	}
	for _, a := range accounts {
		for _, l := range a.Lines {
			if l.TheyOwe < 0 {
				others = append(others, a.Party+": "+q.say("look.we_owe", q.muchOf(f, l.Item, -l.TheyOwe.Units())+" "+q.words.Item(l.Item, l.Name)))
			}
		}
	}
	return of, others, nil
}
