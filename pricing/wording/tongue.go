package wording

import (
	"cmp"
	"embed"
	"encoding/json"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
)

//go:embed *.json
var files embed.FS

// Tongue is a language as one reader wants it.
type Tongue struct {
	Lang     string            // BCP 47
	Texts    map[string]string // by key; a text about one thing has ".one" behind its key
	Glossary Glossary          // names of goods; nil: as they are in English
	Number   func(x float64, decimals int) string
	Amount   func(x float64, u measure.Unit) string
	Day      func(calendar.Day) string
}

var english = Plainly("en", nil)

// English is the language the core names its goods in.
func English() *Tongue { return Plainly("en", nil) }

// Languages there are, the one to fall back on first.
func Languages() []string { return []string{"en", "de"} }

// Plainly is a language with metric units, decimal points and days as
// 2026-09-05. It panics when there is no such language.
func Plainly(lang string, g Glossary) *Tongue {
	return &Tongue{
		Lang: lang, Texts: texts(lang), Glossary: g,
		Number: func(x float64, decimals int) string { return fmt.Sprintf("%.*f", decimals, x) },
		Amount: func(x float64, u measure.Unit) string { return measure.Of(x).Format(u) },
		Day:    calendar.Day.String,
	}
}

func texts(lang string) map[string]string {
	body, err := files.ReadFile(lang + ".json")
	var out map[string]string
	if err == nil {
		err = json.Unmarshal(body, &out)
	}
	if err != nil {
		panic(fmt.Errorf("wording: texts of %q: %w", lang, err))
	}
	return out
}

// Say puts a remark into words. A key there is no text for gives the key, so
// that it is seen.
func (t *Tongue) Say(r Remark) string {
	args := make([]any, len(r.Facts))
	for i, f := range r.Facts {
		args[i] = t.Fact(f)
	}
	if r.Key == "" {
		return fmt.Sprint(args...)
	}
	key := r.Key
	if len(r.Facts) > 0 && r.Facts[0].Kind == KindNumber && r.Facts[0].Number == 1 {
		if _, ok := t.Texts[key+".one"]; ok {
			key += ".one"
		}
	}
	text, ok := t.Texts[key]
	switch {
	case !ok:
		return key
	case !strings.Contains(text, "%["): // about none of the facts
		return text
	}
	return fmt.Sprintf(text, args...)
}

// Fact puts a fact into words.
func (t *Tongue) Fact(f Fact) string {
	switch f.Kind {
	case KindNumber:
		return t.Number(f.Number, f.Decimals)
	case KindAmount:
		return t.Amount(f.Number, f.Unit)
	case KindDay:
		if f.Day != nil {
			return t.Day(*f.Day)
		}
	case KindItem, KindNeed, KindWant:
		return t.Glossary.Name(string(f.Kind), f.ID, f.Text)
	case KindWord:
		if text, ok := t.Texts[f.ID]; ok {
			return text
		}
		return cmp.Or(f.Text, f.ID)
	case KindSaid:
		if f.Remark != nil {
			return t.Say(*f.Remark)
		}
	case KindList:
		parts := make([]string, len(f.List))
		for i, x := range f.List {
			parts[i] = t.Fact(x)
		}
		return strings.Join(parts, ", ")
	}
	return f.Text
}

// Word is a text without arguments; its key when there is none.
func (t *Tongue) Word(key string) string {
	if text, ok := t.Texts[key]; ok {
		return text
	}
	return key
}

var (
	sold     = regexp.MustCompile(`^((?:\d[\d.]*(?: x \d[\d.]*)?(?: (?:kg|g|ml|L|m)\b)?)?) ?(.*)$`)
	fraction = regexp.MustCompile(`\d+\.\d+`)
)

// Pack is how a pack is sold, from the catalogue's English: "400 g tin".
func (t *Tongue) Pack(label string) string {
	m := sold.FindStringSubmatch(label)
	if m == nil {
		return label
	}
	much := fraction.ReplaceAllStringFunc(m[1], func(s string) string {
		x, _ := strconv.ParseFloat(s, 64) // digits and a point are a number
		return t.Number(x, len(s)-strings.IndexByte(s, '.')-1)
	})
	return strings.TrimSpace(much + " " + t.Glossary.Name("pack", m[2], m[2]))
}
