package web

import (
	"embed"
	"encoding/json"
	"fmt"
	"slices"

	"hardtack/pricing/calendar"
	"hardtack/pricing/wording"
)

//go:embed text/*.json
var textFiles embed.FS

// Words is every text the pages show, in one language. A text with {n} forms
// has its singular under the key with ".one" behind it.
type Words struct {
	lang  string
	text  map[string]string
	core  *wording.Tongue  // what the core says, put plainly
	names wording.Glossary // of goods; nil in English
}

// languages there are, the one to fall back on first.
var languages = wording.Languages()

// loadWords reads every language; what the core says is among its texts.
func loadWords(names map[string]wording.Glossary) map[string]*Words {
	out := map[string]*Words{}
	for _, lang := range languages {
		body, err := textFiles.ReadFile("text/" + lang + ".json")
		if err != nil {
			panic(err)
		}
		w := &Words{lang: lang, core: wording.Plainly(lang, names[lang]), names: names[lang]}
		if err := json.Unmarshal(body, &w.text); err != nil {
			panic(fmt.Errorf("text/%s.json: %w", lang, err))
		}
		for key, text := range w.core.Texts {
			if _, own := w.text[key]; !own {
				w.text[key] = text
			}
		}
		out[lang] = w
	}
	return out
}

// Say is a text with its arguments put in. A key that is not there gives the
// key, so that it is seen.
func (w *Words) Say(key string, args ...any) string {
	text, ok := w.text[key]
	if !ok {
		return key
	}
	if len(args) == 0 {
		return text
	}
	return fmt.Sprintf(text, args...)
}

// Has says whether there is such a text.
func (w *Words) Has(key string) bool { _, ok := w.text[key]; return ok }

// Count is a text about n things; n is its first argument.
func (w *Words) Count(key string, n int, args ...any) string {
	if n == 1 && w.Has(key+".one") {
		key += ".one"
	}
	return w.Say(key, append([]any{n}, args...)...)
}

// Day is a day for people; the year only when it is asked for.
func (w *Words) Day(d calendar.Day, year bool) string {
	if d.IsZero() {
		return w.Say("none")
	}
	t := d.Time()
	month := w.Say(fmt.Sprintf("month.%d", int(t.Month())))
	if !year {
		return w.Say("day.short", t.Day(), month)
	}
	return w.Say("day.long", t.Day(), month, t.Year())
}

func known(lang string) bool { return slices.Contains(languages, lang) }
