package shopping

import (
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/wording"
	"hardtack/route/plan"
	"hardtack/route/vessel"
)

// lookFor is the keeping classes whose goods have a word on what to look for
// when buying, and its key: common practice, no source. An item's own BuyHint
// says more.
var lookFor = map[string]string{
	"prod": "look.produce", "prodc": "look.roots", "egg": "look.egg", "can": "look.tin", "canacid": "look.tin", "uht": "look.carton",
	"chill": "look.chilled", "cured": "look.cured", "frozen": "look.frozen", "bread": "look.bread",
}

// ripeners give off ethylene: published storage tables part them from greens,
// carrots and the like (USDA Agriculture Handbook 66).
var ripeners = []pricing.ItemID{
	"apple", "pear", "banana_green", "avocado_hard", "mango", "papaya", "melon", "tomato_ripe", "tomato_green",
}

func look(i item.Item) []wording.Remark {
	var out []wording.Remark
	if key := lookFor[i.ShelfClass]; key != "" {
		out = append(out, wording.Say(key))
	}
	if i.PestRisk >= 2 && !perishable[i.ShelfClass] {
		out = append(out, wording.Say("look.weevils"))
	}
	return out
}

// handle is what to do with a line on the way to its space. Items that are
// eaten in port need none of it.
func (m *maker) handle(i item.Item, l Line) []wording.Remark {
	if len(l.Stow) == 0 {
		return nil
	}
	var out []wording.Remark
	if slices.Contains(ripeners, i.ID) {
		out = append(out, wording.Say("handle.ripens"))
	}
	switch i.ID {
	case "onion", "garlic":
		out = append(out, wording.Say("handle.onion"))
	case "potato":
		out = append(out, wording.Say("handle.potato"))
	}
	if i.PestRisk >= 2 && !perishable[i.ShelfClass] {
		out = append(out, m.againstPests())
	}
	switch {
	case i.ShelfClass == "can" || i.ShelfClass == "canacid":
		out = append(out, wording.Say("handle.tin"))
	case i.Packaging == "carton" || i.Packaging == "paper":
		out = append(out, wording.Say("handle.card"))
	}
	return out
}

func (m *maker) againstPests() wording.Remark {
	for _, sp := range m.Brief.Stowage.Spaces {
		if sp.ID == "freezer" && sp.Litres > 0 {
			return wording.Say("handle.freeze")
		}
	}
	return wording.Say("handle.jar")
}

// labels names those aboard for whom the label of a line must be read. The
// catalogue has no recipe of a product, so it cannot say that one is safe. Who
// does not eat the thing at all has no label to read.
func (m *maker) labels(i item.Item, buys []plan.Purchase, until float64) []Label {
	var out []Label
	arrive := m.Notes.Stops[buys[0].Stop].Arrive
	for _, p := range m.Crew.Persons {
		if p.Refuses(i, buys[0].Need) || !m.feeds(buys, p) || p.DaysAboard(m.Notes.Start, arrive, max(until, arrive+1)) == 0 {
			continue
		}
		if words := ReadFor(p, i); len(words) > 0 {
			out = append(out, Label{p.Name, words})
		}
	}
	return out
}

func (m *maker) feeds(buys []plan.Purchase, person vessel.Person) bool {
	return slices.ContainsFunc(buys, func(b plan.Purchase) bool { return feeds(m.Notes, b.Need, person) })
}

// Advice is a hint and the items it is about.
type Advice struct {
	Remark wording.Remark
	About  []wording.Fact
}

// Advice gathers the hints of all lines, each once, so that a printed list
// does not repeat itself.
func (l List) Advice() []Advice {
	var out []Advice
	at := map[string]int{}
	add := func(r wording.Remark, x Line) {
		k, there := at[r.String()]
		if !there {
			k, out = len(out), append(out, Advice{Remark: r})
			at[r.String()] = k
		}
		out[k].About = append(out[k].About, wording.Item(string(x.Item), x.Name))
	}
	for _, x := range l.Lines {
		for _, p := range x.Labels {
			add(p.Remark(), x)
		}
	}
	for _, x := range l.Lines {
		for _, r := range append(slices.Clone(x.Look), x.Handle...) {
			add(r, x)
		}
	}
	return out
}

// Remark says for whom to read a label, and what for.
func (p Label) Remark() wording.Remark {
	return wording.Say("look.label", wording.Text(p.Name), AllAvoided(p.NotEating))
}

// AllAvoided is what somebody does not eat.
func AllAvoided(words []string) wording.Fact {
	facts := make([]wording.Fact, len(words))
	for i, w := range words {
		facts[i] = Avoided(w)
	}
	return wording.List(facts...)
}

// Avoided is a word of what somebody does not eat: a diet or an allergen.
func Avoided(word string) wording.Fact {
	return wording.Fact{Kind: wording.KindWord, ID: "avoided." + word, Text: word}
}
