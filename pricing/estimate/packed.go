package estimate

import (
	"strings"
	"unicode"
)

// Kinds of packaging: as the catalogue has them, and what one sees through,
// which only a note tells.
const (
	packedClear  = "clear"
	packedPaper  = "paper"
	packedCarton = "carton"
	packedTin    = "tin"
	packedGlass  = "glass"
	packedVac    = "vac"
	packedFilm   = "plastic"
	packedBag    = "bag"
	packedLoose  = "loose"
)

// packings are the words for packaging in a few languages, the telling ones
// first: a paper bag is paper, a clear plastic bag one sees through.
var packings = []struct {
	kind  string
	words []string
}{
	{packedClear, []string{"transparent", "transparente", "durchsichtig", "durchsichtigen", "durchsichtiger"}},
	{packedPaper, []string{"paper", "papier", "papiertüte", "papel"}},
	{packedCarton, []string{"carton", "cardboard", "karton", "pappe", "cartón", "cartão"}},
	{packedTin, []string{"tin", "tinned", "dose", "konserve", "lata", "boîte"}},
	{packedGlass, []string{"jar", "glass", "glas", "gläser", "bocal", "bocaux", "frasco", "tarro", "vidro"}},
	{packedVac, []string{"vacuum", "vakuum", "vakuumiert", "vacío", "vácuo"}},
	{packedFilm, []string{"plastic", "plastik", "folie", "plastique", "plástico"}},
	{packedBag, []string{"bag", "sack", "beutel", "tüte", "sachet", "bolsa", "saco"}},
	{packedLoose, []string{"loose", "unverpackt", "vrac", "granel"}},
}

// seeThrough are phrases for what one sees through.
var seeThrough = []string{"see-through", "see through", "clear bag", "clear pack"}

// sameKind are the catalogue's finer kinds of packaging.
var sameKind = map[string]string{
	"can": packedTin, "film": packedFilm, "tub": packedFilm, "pouch": packedFilm, "sachet": packedBag, "wrap": packedPaper,
}

// kindOf is a packaging of the catalogue as reports speak of it.
func kindOf(packaging string) string {
	if kind, ok := sameKind[packaging]; ok {
		return kind
	}
	return packaging
}

// packedIn is the packaging a note speaks of, empty when it tells none.
func packedIn(note string) string {
	note = strings.ToLower(note)
	for _, p := range seeThrough {
		if strings.Contains(note, p) {
			return packedClear
		}
	}
	words := strings.FieldsFunc(note, func(r rune) bool { return !unicode.IsLetter(r) })
	for _, p := range packings {
		if tells(words, p.words) {
			return p.kind
		}
	}
	return ""
}
