package wording

import (
	"encoding/json"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
)

func TestARemarkInEachLanguage(t *testing.T) {
	t.Parallel()
	german := Plainly("de", Glossary{
		"item": {"egg_oiled": "Eier, geölt"}, "need": {"water": "Wasser"}, "pack": {"tin": "Dose"},
	})
	day, err := calendar.Parse("2027-02-11")
	require.NoError(t, err)
	for _, tt := range []struct {
		name   string
		remark Remark
		en, de string
	}{
		{"an item", Say("brief.past", Item("egg_oiled", "Eggs, oiled"), Text("cool")),
			"Eggs, oiled aboard is past its time on day 0 (cool).", "Eier, geölt an Bord ist am ersten Tag schon über die Zeit (cool)."},
		{"one and many", Say("passage.begun", Count(1), Day(day)), "The voyage starts 2027-02-11, 1 day ago.", "Die Fahrt beginnt am 2027-02-11, vor 1 Tag."},
		{"a remark inside", Say("due.why", Said(Say("due.days", Number(1, 0))), Said(Say("due.cold", Word("space.dry")))),
			"a day: wants cold and lies in dry lockers", "einen Tag: braucht Kälte und liegt in trockene Schapps"},
		{"an amount", Say("list.fill", Amount(120, measure.Litre)), "fill up: 120 L or more", "auffüllen: 120 L oder mehr"},
		{"a word nobody knows", Say("brief.held", List(Need("water", "Water"), Need("x", "Gruel")), Fact{Kind: KindWord, ID: "held.no", Text: "odd"}),
			"Water, Gruel aboard is odd: it is left out of the plan.", "Wasser, Gruel an Bord ist odd: bleibt aus dem Plan."},
		{"own words", Plain("100 % wool"), "100 % wool", "100 % wool"},
		{"a per cent sign", Say("brief.prices"), english.Texts["brief.prices"], german.Texts["brief.prices"]},
		{"no such text", Say("no.such"), "no.such", "no.such"},
		{"nothing", Remark{}, "", ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			require.Equal(t, tt.en, tt.remark.String())
			require.Equal(t, tt.de, german.Say(tt.remark))
			body, err := json.Marshal(tt.remark)
			require.NoError(t, err)
			var back Remark
			require.NoError(t, json.Unmarshal(body, &back))
			require.Equal(t, tt.remark, back)
		})
	}
	require.Equal(t, "400 g Dose", german.Pack("400 g tin"))
	require.Equal(t, "6 x 1.5 L", german.Pack("6 x 1.5 L"))
	require.Equal(t, "crate", german.Pack("crate"))
}

func TestOlderRemarksWereSentences(t *testing.T) {
	t.Parallel()
	var rs []Remark
	require.NoError(t, json.Unmarshal([]byte(`["Water: 3 L.", {"key": "brief.no_gas", "text": "whatever"}]`), &rs))
	require.Equal(t, "Water: 3 L.", rs[0].String())
	require.Equal(t, english.Texts["brief.no_gas"], rs[1].String())
	require.Error(t, json.Unmarshal([]byte(`[7]`), &rs))
}

var place = regexp.MustCompile(`%\[\d\]s`)

func places(text string) []string {
	return slices.Compact(slices.Sorted(slices.Values(place.FindAllString(text, -1))))
}

func TestEveryLanguageSaysEverything(t *testing.T) {
	t.Parallel()
	for _, lang := range Languages() {
		texts := Plainly(lang, nil).Texts
		require.Equal(t, slices.Sorted(maps.Keys(english.Texts)), slices.Sorted(maps.Keys(texts)), lang)
		for key, text := range texts {
			require.NotEmpty(t, text, "%s: %s", lang, key)
			require.Equal(t, places(english.Texts[key]), places(text), "%s: %s is about other facts than in English", lang, key)
			if strings.Contains(text, "%[") {
				require.NotRegexp(t, `%[^%\[]`, strings.ReplaceAll(text, "%%", ""), "%s: %s", lang, key)
			}
		}
	}
}

var (
	whole = regexp.MustCompile(`"([a-z_]+(?:\.[a-z_]+)+)"`)
	begun = regexp.MustCompile(`"([a-z_]+\.)"`)
)

// What the core says is in the catalogues, and what is in the catalogues is
// said by somebody.
func TestEveryTextIsUsed(t *testing.T) {
	t.Parallel()
	used, begins := map[string]bool{}, []string{}
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasSuffix(path, "_test.go") || !slices.Contains([]string{".go", ".html"}, filepath.Ext(path)) {
			return err
		}
		body, err := os.ReadFile(path)
		for _, m := range whole.FindAllStringSubmatch(string(body), -1) {
			used[m[1]] = true
		}
		for _, m := range begun.FindAllStringSubmatch(string(body), -1) {
			begins = append(begins, m[1])
		}
		return err
	})
	require.NoError(t, err)
	for key := range english.Texts {
		plain := strings.TrimSuffix(key, ".one")
		require.True(t, used[plain] || slices.ContainsFunc(begins, func(b string) bool { return strings.HasPrefix(key, b) }), "nobody says %q", key)
	}
}

func TestGlossariesAreRefusedWhole(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ name, text, says string }{
		{"another header", "kind,name,id\n", "line 1"},
		{"nothing in it", "kind,id,name\nitem,rice,\n", "line 2"},
		{"twice", "kind,id,name\nitem,rice,Reis\nitem,rice,Rais\n", "again"},
		{"a field too few", "kind,id,name\nitem,rice\n", "wrong number of fields"},
	} {
		_, err := Glossaries(fstest.MapFS{"words-de.csv": {Data: []byte(tt.text)}})
		require.ErrorContains(t, err, tt.says, tt.name)
		require.ErrorContains(t, err, "words-de.csv", tt.name)
	}
	got, err := Glossaries(fstest.MapFS{"words-de.csv": {Data: []byte("kind,id,name\nitem,rice,Reis\n")}})
	require.NoError(t, err)
	require.Equal(t, map[string]Glossary{"de": {"item": {"rice": "Reis"}}}, got)
}
