package port

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing/wording"
	"hardtack/seed"
)

// What a rule says beside its verdict is there in every language.
func TestEveryRuleIsToldInEveryLanguage(t *testing.T) {
	t.Parallel()
	rules, err := LoadRules(seed.FS)
	require.NoError(t, err)
	all, err := wording.Glossaries(seed.FS)
	require.NoError(t, err)
	notes := map[string]bool{"No rule known here.": true, "A border inside one country or union: no rule known here.": true}
	for _, r := range rules.rules {
		if r.Note != "" {
			notes[r.Note] = true
		}
	}
	for lang, words := range all {
		for note := range notes {
			require.NotEmpty(t, words.Name("note", note, ""), "%s: %s", lang, note)
		}
		require.Len(t, words["note"], len(notes), lang)
	}
}
