package api

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"github.com/google/uuid"

	"hardtack/db"
	"hardtack/pricing"
)

// brought is what an import brought: the reporters of its reports by id.
type brought map[string]string

// undoing is what has to be kept with an import so that it can be taken back,
// and the name to do so by; nothing when it brings nothing.
func (s *Service) undoing(b brought) (id string, with []db.With, err error) {
	if len(b) == 0 {
		return "", nil, nil
	}
	id = s.newID()
	body, err := json.Marshal(b)
	return id, []db.With{{Kind: db.KindUndo, ID: id, Body: body}}, err
}

// UndoImport withdraws every report an import brought, all of them or none, and
// gives how many. Withdrawn reports stay on record but count for nothing. Done
// twice on one day it changes nothing more. ErrNotFound: no such import.
func (s *Service) UndoImport(ctx context.Context, id string) (int, error) {
	kept, err := get[brought](ctx, s, db.KindUndo, id)
	if err != nil {
		return 0, err
	}
	var ids []string
	for id := range kept.Value {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	there, err := s.db.ReportsByID(ctx, ids)
	if err != nil {
		return 0, err
	}
	var back []pricing.Report
	for _, id := range ids {
		old := there[id]
		back = append(back, pricing.Report{
			ID:   uuid.NewSHA1(uuid.NameSpaceURL, fmt.Appendf(nil, "undo %s %s", id, s.Today())).String(),
			Port: old.Port, Item: old.Item, Day: max(old.Day, s.Today()), Reporter: old.Reporter, Replaces: id,
		})
	}
	_, err = s.db.AddReports(ctx, back)
	return len(back), err
}
