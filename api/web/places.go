package web

import "strings"

// place is an entry of the navigation at the foot of every page; its pages
// stand in a row at the head of each of them. A page that is not listed here
// is reached from the page it belongs to.
type place struct {
	key   string // of its text "nav.KEY", and what a handler calls it
	leafs []leaf
}

// leaf is a page of a place. A path that begins with a slash is of the site,
// any other of the voyage.
type leaf struct{ text, path string }

// places are the navigation of a boat with a voyage. Five fit a thumb on
// 360 px; the pages of each may be as many as there are.
var places = []place{
	{"season", []leaf{{"leaf.plan", ""}, {"leaf.edit", "edit"}, {"leaf.fed", "fed"}, {"leaf.risk", "risk"}, {"leaf.start", "/start"}}},
	{"ashore", []leaf{{"leaf.lists", "ashore"}, {"leaf.ahead", "ahead"}, {"leaf.aisles", "/aisles"}}},
	{"prices", []leaf{{"leaf.prices", "prices"}, {"leaf.report", "report"}, {"leaf.import", "import"}, {"leaf.asked", "asked"}}},
	{"aboard", []leaf{
		{"leaf.lockers", "/aboard"}, {"leaf.first", "use-first"}, {"leaf.count", "/aboard/count"}, {"leaf.used", "/aboard/used"},
		{"leaf.border", "/aboard/border"}, {"leaf.tanks", "/aboard/tanks"}, {"leaf.boat", "/boat"},
	}},
	{"papers", []leaf{{"leaf.papers", "papers"}, {"leaf.prefs", "/prefs"}}},
}

// beginning is the navigation while there is no voyage.
var beginning = []place{
	{"start", []leaf{{"leaf.start", "/start"}}},
	{"aboard", []leaf{{"leaf.boat", "/boat"}}},
	{"papers", []leaf{{"leaf.prefs", "/prefs"}}},
}

// way is a link of the navigation.
type way struct {
	To, Text string
	Here     bool // the page itself, or the place it belongs to
}

func (f *Frame) places() []place {
	if f.Voyage == "" {
		return beginning
	}
	return places
}

// Places are the steps at the foot of the page.
func (f *Frame) Places() []way {
	var out []way
	for _, p := range f.places() {
		out = append(out, way{f.leafPath(p.leafs[0]), f.Say("nav." + p.key), p.key == f.Here})
	}
	return out
}

// Leafs are the steps at its head: the pages of its place, none when it is
// alone there.
func (f *Frame) Leafs() []way {
	var out []way
	for _, p := range f.places() {
		for _, l := range p.leafs {
			if to := f.leafPath(l); p.key == f.Here && len(p.leafs) > 1 {
				out = append(out, way{to, f.Say(l.text), to == f.Path})
			}
		}
	}
	return out
}

func (f *Frame) leafPath(l leaf) string {
	switch {
	case strings.HasPrefix(l.path, "/"):
		return f.Base + l.path
	case l.path == "":
		return f.Base + "/voyage/" + f.Voyage
	}
	return f.Base + "/voyage/" + f.Voyage + "/" + l.path
}
