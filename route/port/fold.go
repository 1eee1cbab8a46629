package port

import (
	"strings"

	"hardtack/pricing/spelling"
)

// fold brings spellings together as spelling.Fold does, and "St" and "Ste" for
// saints besides.
func fold(s string) string {
	words := strings.Fields(spelling.Fold(s))
	for i, w := range words {
		switch w {
		case "saint", "sankt", "sint":
			words[i] = "st"
		case "sainte":
			words[i] = "ste"
		}
	}
	return strings.Join(words, " ")
}
