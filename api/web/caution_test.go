package web

import (
	"net/url"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/arrival"
	"hardtack/route/pest"
	"hardtack/route/tankage"
)

func TestCautionsAreOnThePages(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	lived(t, svc)
	base := serve(t, svc, Options{})
	all := loadWords(nil)
	for _, lang := range []string{"en", "de"} {
		v := visit(t, base)
		v.post("/prefs", url.Values{"lang": {lang}})
		for _, tt := range []struct {
			path string
			keys []string
		}{
			{demoVoyage + "/use-first", []string{"caution.keeping"}},
			{"/aboard/fridge?hours=2", []string{"caution.fridge", "caution.keeping"}},
			{"/aboard/fridge?hours=nonsense", []string{"caution.fridge"}},
			{"/aboard/border", []string{"caution.border", "border.ask"}},
			{"/aboard/pests", []string{"caution.bait", "pests.treat.caution.0", "pests.treat.caution.1", "pests.treat.caution.2", "pests.treat.caution.3"}},
			{"/aboard/tanks", []string{"caution.water", "caution.gas", "tanks.rain", "caution.keeping"}},
			{"/aboard/tanks?days=20&ocean=1", []string{"caution.water", "caution.gas"}},
			{"/aboard/stow?stop=1", []string{"stow.caution"}},
			{"/aboard/meals", []string{"meals.advice"}},
			{demoVoyage + "/fed", []string{"fed.caution", "fed.labels"}},
		} {
			page := v.get(tt.path)
			require.Equal(t, 200, page.status, tt.path)
			for _, key := range tt.keys {
				require.Contains(t, unescape(page.body), all[lang].Say(key), "%s in %s", tt.path, lang)
			}
		}
	}
}

var entity = strings.NewReplacer("&#39;", "'", "&#34;", `"`, "&amp;", "&", "&lt;", "<", "&gt;", ">")

func unescape(s string) string { return entity.Replace(s) }

func TestCautionsAreTheCores(t *testing.T) {
	t.Parallel()
	en := loadWords(nil)["en"]
	for key, text := range map[string]string{
		"caution.water": tankage.WaterCaution, "caution.gas": tankage.GasCaution, "caution.border": arrival.Caution, "caution.bait": pest.BaitCaution,
	} {
		require.Equal(t, text, en.Say(key), key)
	}
	for n, x := range tankage.GasNotes() {
		require.Equal(t, x, en.Say(numbered("gas.note", n)))
	}
	for n, x := range tankage.WaterNeeds() {
		require.Equal(t, x.About, en.Say(numbered("water.need", n)))
	}
	for n, x := range pest.Hints() {
		require.Equal(t, x, en.Say(numbered("pests.hint", n)))
	}
	for n, x := range pest.Treatments() {
		require.Equal(t, x.Name, en.Say(numbered("pests.treat.name", n)))
		require.Equal(t, x.How, en.Say(numbered("pests.treat.how", n)))
		require.Equal(t, x.Caution, en.Say(numbered("pests.treat.caution", n)))
	}
	for key := range en.text {
		if after, ok := strings.CutPrefix(key, "gas.note."); ok {
			n, err := strconv.Atoi(after)
			require.NoError(t, err)
			require.Less(t, n, len(tankage.GasNotes()))
		}
	}
}
