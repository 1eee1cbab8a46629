package api

import (
	"context"
	"encoding/json"
	"fmt"

	"hardtack/db"
)

// Kept is a value with the revision it was read at or written as.
type Kept[T any] struct {
	Value    T     `json:"value"`
	Revision int64 `json:"revision"`
}

// What a writer may expect of what it overwrites, beside a revision read.
const (
	AnyRevision = db.AnyRevision
	Absent      = db.Absent
)

func get[T any](ctx context.Context, s *Service, kind db.Kind, id string) (Kept[T], error) {
	doc, err := s.db.Get(ctx, kind, id)
	if err != nil {
		return Kept[T]{}, err
	}
	return decode[T](kind, doc)
}

func decode[T any](kind db.Kind, doc db.Document) (Kept[T], error) {
	kept := Kept[T]{Revision: doc.Revision}
	if err := json.Unmarshal(doc.Body, &kept.Value); err != nil {
		return Kept[T]{}, fmt.Errorf("%s %q as kept: %w", kind, doc.ID, err)
	}
	return kept, nil
}

func put[T any](ctx context.Context, s *Service, kind db.Kind, id string, v T, expect int64) (Kept[T], error) {
	body, err := json.Marshal(v)
	if err != nil {
		return Kept[T]{}, fmt.Errorf("%s %q: %w", kind, id, err)
	}
	revision, err := s.db.Put(ctx, kind, id, body, expect)
	if err != nil {
		return Kept[T]{}, err
	}
	return Kept[T]{v, revision}, nil
}

func list[T any](ctx context.Context, s *Service, kind db.Kind) ([]Kept[T], error) {
	docs, err := s.db.List(ctx, kind)
	if err != nil {
		return nil, err
	}
	out := make([]Kept[T], 0, len(docs))
	for _, doc := range docs {
		kept, err := decode[T](kind, doc)
		if err != nil {
			return nil, err
		}
		out = append(out, kept)
	}
	return out, nil
}

// checkID wants an id that fits into a path and a file name.
func checkID(fs *faults, path, id string) {
	if !fitsPath(id) {
		fs.add(path, quote(id), "1 to 64 of a–z, A–Z, 0–9, dot, dash, underscore, not a dot first")
	}
}

func fitsPath(id string) bool {
	if id == "" || len(id) > 64 || id[0] == '.' {
		return false
	}
	for _, r := range id {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '.', r == '-', r == '_':
		default:
			return false
		}
	}
	return true
}
