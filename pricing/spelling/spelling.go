// Package spelling brings together the ways people write one name: capitals,
// accents, apostrophes, and a wrong letter or two.
package spelling

import (
	"strings"
	"unicode"

	"golang.org/x/text/runes"
	"golang.org/x/text/transform"
	"golang.org/x/text/unicode/norm"
)

// letters that Unicode does not take apart into a base letter and an accent.
var letters = strings.NewReplacer("ø", "o", "đ", "d", "ð", "d", "þ", "th", "æ", "ae", "œ", "oe", "ß", "ss", "ł", "l", "ı", "i")

// Fold gives small letters without accents: words of letters and digits with
// one space between. Text without either gives the empty string.
func Fold(s string) string {
	strip := transform.Chain(norm.NFD, runes.Remove(runes.In(unicode.Mn)), norm.NFC)
	folded, _, err := transform.String(strip, strings.ToLower(s))
	if err != nil { // a broken text is compared as it is
		folded = strings.ToLower(s)
	}
	words := strings.FieldsFunc(letters.Replace(dropApostrophes(folded)), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r)
	})
	return strings.Join(words, " ")
}

func dropApostrophes(s string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune("'’‘ʻʼ`", r) {
			return -1
		}
		return r
	}, s)
}

// Distance is how many letters must be put in, left out, changed or swapped
// with a neighbour to make b of a (restricted edit distance), or most+1 when
// it takes more than most.
func Distance(a, b string, most int) int {
	x, y := []rune(a), []rune(b)
	if len(x)-len(y) > most || len(y)-len(x) > most {
		return most + 1
	}
	before, last, now := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(x); i++ {
		now[0] = i
		for j := 1; j <= len(y); j++ {
			now[j] = min(last[j]+1, now[j-1]+1, last[j-1]+unequal(x[i-1], y[j-1]))
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				now[j] = min(now[j], before[j-2]+1)
			}
		}
		before, last, now = last, now, before
	}
	return min(last[len(y)], most+1)
}

func unequal(a, b rune) int {
	if a == b {
		return 0
	}
	return 1
}
