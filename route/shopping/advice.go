package shopping

import (
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/route/plan"
)

// lookFor is what to look for when buying, by keeping class: common practice,
// no source. An item's own BuyHint says more.
var lookFor = map[string]string{
	"prod":    "Never chilled, unwashed, firm and without a bruise; several stages of ripeness.",
	"prodc":   "Never chilled, dry, firm, whole skin; leave out any that is cut or sprouting.",
	"egg":     "Unwashed and never chilled if there are any; no crack; the latest date.",
	"can":     "No bulge, no rust, no dent on a seam or rim; the latest date.",
	"canacid": "No bulge, no rust, no dent on a seam or rim; the latest date.",
	"uht":     "Cartons without a soft corner; the latest date.",
	"chill":   "From the back of the cold shelf, the latest date; carry it home cold.",
	"cured":   "Whole, not sliced; vacuum packs tight on the meat.",
	"frozen":  "Hard as a stone and loose in the bag; carry it home in the cold box.",
	"bread":   "Baked today, whole loaves, cooled before it is bagged.",
}

// ripeners give off ethylene: published storage tables part them from greens,
// carrots and the like (USDA Agriculture Handbook 66).
var ripeners = []pricing.ItemID{
	"apple", "pear", "banana_green", "avocado_hard", "mango", "papaya", "melon", "tomato_ripe", "tomato_green",
}

func look(i item.Item) []string {
	var out []string
	if hint := lookFor[i.ShelfClass]; hint != "" {
		out = append(out, hint)
	}
	if i.PestRisk >= 2 && !perishable[i.ShelfClass] {
		out = append(out, "No hole, web or dust in the pack: weevils come aboard with dry goods.")
	}
	return out
}

// handle is what to do with a line on the way to its space. Items that are
// eaten in port need none of it.
func (m *maker) handle(i item.Item, l Line) []string {
	if len(l.Stow) == 0 {
		return nil
	}
	var out []string
	if slices.Contains(ripeners, i.ID) {
		out = append(out, "Stow apart from greens and carrots: it ripens what lies near.")
	}
	switch i.ID {
	case "onion", "garlic":
		out = append(out, "Dry and aired, away from potatoes.")
	case "potato":
		out = append(out, "Dark and aired, away from onions.")
	}
	if i.PestRisk >= 2 && !perishable[i.ShelfClass] {
		out = append(out, m.againstPests())
	}
	switch {
	case i.ShelfClass == "can" || i.ShelfClass == "canacid":
		out = append(out, "Write the contents on the lid; paper labels and cardboard stay ashore.")
	case i.Packaging == "carton" || i.Packaging == "paper":
		out = append(out, "Cardboard and paper stay ashore.")
	}
	return out
}

func (m *maker) againstPests() string {
	for _, sp := range m.Brief.Stowage.Spaces {
		if sp.ID == "freezer" && sp.Litres > 0 {
			return "Four days in the freezer if there is room, then into a tight jar."
		}
	}
	return "Into a tight jar, with a look through it first."
}

// labels names those aboard for whom the label of a line must be read. The
// catalogue has no recipe of a product, so it cannot say that one is safe. Who
// does not eat the thing at all has no label to read.
func (m *maker) labels(i item.Item, buys []plan.Purchase, until float64) []Label {
	var out []Label
	arrive := m.Notes.Stops[buys[0].Stop].Arrive
	for _, p := range m.Crew.Persons {
		if p.Refuses(i, buys[0].Need) || !m.feeds(buys, p.ID) || p.DaysAboard(m.Notes.Start, arrive, max(until, arrive+1)) == 0 {
			continue
		}
		var words []string
		for _, w := range p.NotEating {
			if mayHold(i, w) {
				words = append(words, w)
			}
		}
		if len(words) > 0 {
			out = append(out, Label{p.Name, words})
		}
	}
	return out
}

func (m *maker) feeds(buys []plan.Purchase, person string) bool {
	return slices.ContainsFunc(buys, func(b plan.Purchase) bool {
		n, ok := m.Notes.Need(b.Need)
		return ok && (len(n.Persons) == 0 || slices.Contains(n.Persons, person))
	})
}

// Advice is a hint and the names of what it is about.
type Advice struct {
	Text  string   `json:"text"`
	Names []string `json:"names"`
}

// Advice gathers the hints of all lines, each once, so that a printed list
// does not repeat itself.
func (l List) Advice() []Advice {
	var out []Advice
	add := func(text, name string) {
		k := slices.IndexFunc(out, func(a Advice) bool { return a.Text == text })
		if k < 0 {
			k, out = len(out), append(out, Advice{Text: text})
		}
		out[k].Names = append(out[k].Names, name)
	}
	for _, x := range l.Lines {
		for _, p := range x.Labels {
			add(p.words(), x.Name)
		}
	}
	for _, x := range l.Lines {
		for _, text := range append(slices.Clone(x.Look), x.Handle...) {
			add(text, x.Name)
		}
	}
	return out
}
