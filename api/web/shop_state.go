package web

import (
	"maps"
	"net/url"
	"slices"
	"strings"

	"hardtack/api"
	"hardtack/pricing"
)

// lineState is all that is said about one thing of a list, by field; what is
// empty is not in it. "booked" says that a receipt has it already.
type lineState map[string]string

// keptState is what the draft says about an item and what was taken for it.
func keptState(d api.Draft, id pricing.ItemID) lineState {
	out := lineState{}
	set := func(field, text string) {
		if text != "" {
			out[field] = text
		}
	}
	for _, l := range d.Lines {
		switch {
		case l.Item == id && l.For == "":
			set("got", flag(l.Got))
			set("none", flag(l.None))
			set("price", l.Price)
			set("pack", l.Pack)
			set("count", l.Count)
		case l.For == id:
			set("sub", string(l.Item))
			set("subprice", l.Price)
			set("subpack", l.Pack)
			set("subcount", l.Count)
		}
	}
	set("booked", flag(slices.Contains(d.Booked, id)))
	return out
}

func flag(on bool) string {
	if on {
		return "1"
	}
	return ""
}

// text is the state as a page carries it, to be sent back with what was typed.
func (s lineState) text() string {
	v := url.Values{}
	for field, text := range s {
		v.Set(field, text)
	}
	return v.Encode()
}

func stateOf(text string) lineState {
	out := lineState{}
	v, err := url.ParseQuery(text)
	if err != nil {
		return out // as if nothing had been known
	}
	for field := range v {
		out[field] = v.Get(field)
	}
	return out
}

// subFields are about what was taken instead. Its price may be there before it
// is said what it was.
var subFields = []string{"sub", "subprice", "subpack", "subcount"}

// typedState is what a form says about an item. Who types a price has the
// thing in hand; who names something taken instead did not find it. Was is
// what the form was made from.
func (q *request) typedState(id string, was lineState) lineState {
	out := lineState{}
	for _, field := range append([]string{"got", "none", "price", "pack", "count"}, subFields...) {
		if text := q.text(field + "." + id); text != "" {
			out[field] = text
		}
	}
	if out["price"] == "" && slices.ContainsFunc(subFields, func(field string) bool { return out[field] != "" && out[field] != was[field] }) {
		out["none"] = "1"
	}
	if out["none"] == "" {
		maps.DeleteFunc(out, func(field, _ string) bool { return strings.HasPrefix(field, "sub") })
	}
	if out["none"] == "" && out["price"] != "" {
		out["got"] = "1"
	}
	return out
}

// said is what of a state a person says in words and numbers: a tick alone is
// in nobody's way.
func (s lineState) said() lineState {
	out := maps.Clone(s)
	delete(out, "got")
	delete(out, "booked")
	return out
}

// merged is what is to be kept when a form made from one state and now saying
// another comes to a third that is kept. False when both say something new and
// not the same: then it is for people to choose.
func merged(was, typed, kept lineState) (lineState, bool) {
	booked := kept["booked"] != was["booked"]
	switch tick := typed["got"] != was["got"]; {
	case maps.Equal(typed.said(), was.said()) && (!tick || typed["got"] == kept["got"]):
		return kept, true
	case booked:
		return kept, false
	case maps.Equal(typed.said(), was.said()):
		out := maps.Clone(kept)
		out["got"] = typed["got"]
		return out, true
	case maps.Equal(kept.said(), was.said()), maps.Equal(kept.said(), typed.said()):
		return typed, true
	}
	return kept, false
}

// keep puts a state into the draft. The locker chosen for it stays.
func (s lineState) keep(d *api.Draft, id pricing.ItemID) {
	line := api.DraftLine{Item: id, Got: s["got"] != "" || s["price"] != "" && s["none"] == "", None: s["none"] != "", Price: s["price"], Pack: s["pack"], Count: s["count"]}
	sub := api.DraftLine{Item: pricing.ItemID(s["sub"]), For: id, Got: true, Price: s["subprice"], Pack: s["subpack"], Count: s["subcount"]}
	for _, old := range d.Lines {
		if old.Item == id && old.For == "" {
			line.Space = old.Space
		}
		if old.For == id && old.Item == sub.Item {
			sub.Space = old.Space
		}
	}
	d.Set(line)
	d.Lines = slices.DeleteFunc(d.Lines, func(x api.DraftLine) bool { return x.For == id })
	if line.None && (sub.Item != "" || sub.Price != "" || sub.Pack != "" || sub.Count != "") {
		d.Set(sub)
	}
}
