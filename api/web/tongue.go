package web

import (
	"strings"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/wording"
	"hardtack/route/brief"
)

// Tongue is the reader's language with the units and days of the frame.
func (f *Frame) Tongue() *wording.Tongue {
	t := *f.core
	t.Number, t.Amount, t.Day = f.Num, f.Much, f.Date
	return &t
}

// Tell puts what the core says into the reader's words.
func (f *Frame) Tell(r wording.Remark) string { return f.Tongue().Say(r) }

// TellAll is Tell of many.
func (f *Frame) TellAll(rs []wording.Remark) []string {
	var out []string
	for _, r := range rs {
		out = append(out, f.Tell(r))
	}
	return out
}

// Item is an item's name in the reader's language.
func (w *Words) Item(id pricing.ItemID, otherwise string) string {
	return w.names.Name(string(wording.KindItem), string(id), otherwise)
}

// goods is an item with its name in the reader's language.
func (w *Words) goods(i item.Item) string { return w.Item(i.ID, i.Name) }

// Need is the name of a need of a brief, with the persons it is for when it is
// not for everybody.
func (w *Words) Need(id, otherwise string, persons ...string) string {
	of, _, _ := strings.Cut(id, "/")
	name, ok := w.names[string(wording.KindNeed)][of]
	switch {
	case !ok:
		return otherwise
	case len(persons) > 0:
		return w.Say("need.for", name, strings.Join(persons, ", "))
	}
	return name
}

func (w *Words) need(n brief.NeedNote) string { return w.Need(n.ID, n.Name, n.Persons...) }

// Sold is how a pack is sold.
func (f *Frame) Sold(label string) string { return f.Tongue().Pack(label) }

// Hint is what to look for in an item.
func (w *Words) Hint(hint string) string { return w.names.Name("hint", hint, hint) }

// RuleNote is what an arrival rule says beside its verdict.
func (w *Words) RuleNote(note string) string { return w.names.Name("note", note, note) }
