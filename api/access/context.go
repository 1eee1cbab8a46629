package access

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// context are words that whoever guesses a password of this server tries: what
// it is and who works there. The account's name is one of them too.
var context = []string{"hardtack", "moderator", "operator", "provision", "skipper", "account", "harbour", "harbor", "sailing", "server", "admin", "login", "yacht", "boat"}

// besides is how many characters a password must have beside such words: as
// many as ASVS 5.0.0 wants of one at least.
const besides = 8

// bare says whether a password is little else than words that say what it is
// for. Letters as digits (b0at) are letters.
func bare(password string, words []string) bool {
	left := plain(password)
	for _, w := range slices.Concat(split(words), context) {
		left = strings.ReplaceAll(left, w, "")
	}
	return utf8.RuneCountInString(strings.ReplaceAll(left, " ", "")) < besides
}

// split gives the words of names, those of three letters and more.
func split(names []string) []string {
	var out []string
	for _, name := range names {
		for _, w := range strings.Fields(plain(name)) {
			if utf8.RuneCountInString(w) >= 3 {
				out = append(out, w)
			}
		}
	}
	return out
}

var asLetters = strings.NewReplacer("0", "o", "1", "i", "3", "e", "4", "a", "5", "s", "7", "t", "@", "a", "$", "s", "!", "i")

func plain(text string) string { return asLetters.Replace(strings.ToLower(text)) }
