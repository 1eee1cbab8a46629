package estimate

import (
	"slices"
	"strings"
	"unicode"
)

// bugs are words for what nobody wants aboard, in a few languages.
var bugs = []string{
	"insect", "weevil", "moth", "beetle", "larva", "maggot", "mould", "mold", "mite", "käfer", "motte", "schimmel", "verschimmelt", "gorgojo",
	"polilla", "moho", "charançon", "moisi", "gorgulho", "traça", "bolor",
}

// ageing are words for what is past its life or does not last.
var ageing = []string{
	"rotten", "rancid", "expired", "sprouted", "verfault", "ranzig", "abgelaufen", "podrido", "rancio", "caducado", "pourri", "périmé", "podre", "rançoso",
}

// gone are phrases for the same.
var gone = []string{"out of date", "past its date", "went off", "went bad", "short life", "fora do prazo"}

// endings a word may have.
var endings = []string{"", "s", "es", "e", "y", "n", "en", "a", "as", "ig"}

// said is what a note tells of insects or mould, and of goods that were old or
// did not last.
func said(note string) (insects, old bool) {
	note = strings.ToLower(note)
	words := strings.FieldsFunc(note, func(r rune) bool { return !unicode.IsLetter(r) })
	old = tells(words, ageing) || slices.ContainsFunc(gone, func(p string) bool { return strings.Contains(note, p) })
	return tells(words, bugs), old
}

func tells(words, of []string) bool {
	return slices.ContainsFunc(words, func(word string) bool {
		return slices.ContainsFunc(of, func(b string) bool {
			end, begins := strings.CutPrefix(word, b)
			return begins && slices.Contains(endings, end)
		})
	})
}
