package port

import (
	"cmp"
	"slices"
	"strings"

	"hardtack/pricing/spelling"
)

// Search gives up to n ports whose id, name, other name or island group is
// like text, likest first. Accents, capitals, apostrophes and "Saint" or "St"
// make no difference; words like "Tarbert, GB" or "Mindelo Cape Verde" narrow
// it down; a few wrong letters are forgiven. Nothing like it gives none.
func (g *Gazetteer) Search(text string, n int) []Port {
	asked := fold(text)
	if asked == "" || n <= 0 {
		return nil
	}
	type hit struct{ port, unlike int }
	var hits []hit
	for i := range g.ports {
		if u, ok := g.unlike(i, asked); ok {
			hits = append(hits, hit{i, u})
		}
	}
	slices.SortStableFunc(hits, func(a, b hit) int { return cmp.Compare(a.unlike, b.unlike) })
	var out []Port
	for _, h := range hits[:min(n, len(hits))] {
		out = append(out, g.ports[h.port])
	}
	return out
}

// Named gives the ports whose name, or one of whose other names, is text:
// accents, capitals and the like apart, but no letter wrong and none missing.
func (g *Gazetteer) Named(text string) []Port {
	asked := fold(text)
	var out []Port
	for i, names := range g.names {
		if asked != "" && slices.Contains(names, asked) {
			out = append(out, g.ports[i])
		}
	}
	return out
}

// How unlike a port is what was asked, from its very id to a misspelt name.
const (
	sameID = iota * 10
	sameName
	sameOther
	begins
	group
	holds
	misspelt
)

// unlike ranks port i; false when it is nothing like what was asked.
func (g *Gazetteer) unlike(i int, asked string) (int, bool) {
	p := g.ports[i]
	if id := fold(string(p.ID)); asked == id || strings.ReplaceAll(asked, " ", "") == strings.ReplaceAll(id, " ", "") {
		return sameID, true
	}
	best, found := 0, false
	keep := func(rank int) {
		if !found || rank < best {
			best, found = rank, true
		}
	}
	for k, name := range g.names[i] {
		if rank, ok := likeName(asked, name, k > 0); ok {
			keep(rank)
		}
	}
	island := fold(p.Island)
	if island != "" && asked == island {
		keep(group)
	}
	whole := " " + strings.Join(g.names[i], " ") + " " + island + " " + strings.ToLower(p.Country) + " "
	if every(strings.Fields(asked), func(w string) bool { return strings.Contains(whole, " "+w) }) {
		keep(holds)
	}
	return best, found
}

func likeName(asked, name string, other bool) (int, bool) {
	later := 0
	if other {
		later = sameOther - sameName
	}
	switch {
	case asked == name:
		return sameName + later, true
	case strings.HasPrefix(name, asked):
		return begins + later/10, true
	}
	most := len(asked) / 4
	if d := spelling.Distance(asked, name, most); d <= most {
		return misspelt + 2*d + later/10, true
	}
	return 0, false
}

func every(words []string, ok func(string) bool) bool {
	return !slices.ContainsFunc(words, func(w string) bool { return !ok(w) })
}
