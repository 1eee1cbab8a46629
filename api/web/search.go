package web

import "hardtack/pricing/money"

// searchWords say how the search stands that a plan comes from: still going on,
// ended with this plan in place of a first one, or with one that was not put in
// its place. Nothing for a plan made in one go.
func (q *request) searchWords(f *Frame, voyage string, revision int64, home money.Currency) string {
	x := q.svc.Search(voyage)
	switch {
	case revision != x.At:
		return ""
	case x.Going:
		return q.say("search.going")
	case x.Saves < 0.5:
		return ""
	case x.Held:
		return q.say("search.held", f.Round(x.Saves, home))
	}
	return q.say("search.found", f.Round(x.Saves, home))
}
