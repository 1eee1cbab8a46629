package web

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var verb = regexp.MustCompile(`%(\[\d+\])?[sdv]`)

func TestEveryLanguageSaysEverything(t *testing.T) {
	t.Parallel()
	all := loadWords(nil)
	en := all["en"].text
	for lang, w := range all {
		require.Equal(t, keysOf(en), keysOf(w.text), lang)
		for key, text := range w.text {
			require.NotEmpty(t, strings.TrimSpace(text), "%s: %s", lang, key)
			require.Len(t, verb.FindAllString(text, -1), len(verb.FindAllString(en[key], -1)), "%s: %s takes other arguments than in English", lang, key)
		}
	}
}

func keysOf(m map[string]string) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// sourcesOf are the templates and the code of this package, as text.
func sourcesOf(t *testing.T, pattern string) map[string]string {
	t.Helper()
	names, err := filepath.Glob(pattern)
	require.NoError(t, err)
	require.NotEmpty(t, names)
	out := map[string]string{}
	for _, n := range names {
		if !strings.HasSuffix(n, "_test.go") {
			body, err := os.ReadFile(n)
			require.NoError(t, err)
			out[n] = string(body)
		}
	}
	return out
}

var (
	said  = regexp.MustCompile(`(?:Say|say|Count|count)(?: |\()"([^"]+)"`)
	built = regexp.MustCompile(`"([a-z_]+\.)(?:"|%[ds]")`) // a key made of this and something else
)

// several is the number of one of several texts.
var several = regexp.MustCompile(`\.\d+$`)

func TestEveryTextUsedIsThereAndEveryTextThereIsUsed(t *testing.T) {
	t.Parallel()
	en := loadWords(nil)["en"]
	used, begun := map[string]bool{}, []string{"look.", "lang.", "units.", "money.", "comma.", "length."}
	for _, pattern := range []string{"*.go", "templates/*.html"} {
		for name, text := range sourcesOf(t, pattern) {
			for _, m := range said.FindAllStringSubmatch(text, -1) {
				if !strings.HasSuffix(m[1], ".") && !strings.Contains(m[1], "%") {
					require.True(t, en.Has(m[1]), "%s: no text %q", name, m[1])
				}
				used[m[1]] = true
			}
			for _, m := range built.FindAllStringSubmatch(text, -1) {
				begun = append(begun, m[1])
			}
			for _, m := range regexp.MustCompile(`"([a-z_]+(?:\.[a-z_0-9]+)+)"`).FindAllStringSubmatch(text, -1) {
				used[m[1]] = true
			}
		}
	}
	for key := range en.text {
		if _, core := en.core.Texts[key]; core {
			continue // see hardtack/pricing/wording
		}
		plain := strings.TrimSuffix(strings.TrimSuffix(key, ".one"), ".way")
		ok := used[key] || used[plain] || used[several.ReplaceAllString(key, "")] || slices.ContainsFunc(begun, func(b string) bool { return strings.HasPrefix(key, b) })
		require.True(t, ok, "nobody uses the text %q", key)
	}
}

// Whatever a reader sees comes out of the catalogue.
func TestTemplatesHaveNoWordsOfTheirOwn(t *testing.T) {
	t.Parallel()
	action := regexp.MustCompile(`(?s)\{\{.*?\}\}`)
	tag := regexp.MustCompile(`(?s)<[^>]*>`)
	spoken := regexp.MustCompile(`(?:aria-label|placeholder|title|alt)="[^"]*\p{L}[^"]*"`)
	for name, text := range sourcesOf(t, "templates/*.html") {
		text = action.ReplaceAllString(text, "")
		require.NotRegexp(t, spoken, text, name)
		require.NotRegexp(t, `\p{L}`, tag.ReplaceAllString(text, ""), name)
	}
}
