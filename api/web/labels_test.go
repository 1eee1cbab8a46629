package web

import (
	"encoding/json"
	"os"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

// Where each label comes from is written down.
func TestEveryLabelHasAnOrigin(t *testing.T) {
	t.Parallel()
	list, err := os.ReadFile("LABELS.md")
	require.NoError(t, err)
	known := map[string]bool{}
	for _, row := range regexp.MustCompile(`(?m)^\| (.*?) \| (?:trade|standard|ours)\b`).FindAllStringSubmatch(string(list), -1) {
		known[row[1]] = true
	}
	body, err := textFiles.ReadFile("text/en.json")
	require.NoError(t, err)
	var texts map[string]string
	require.NoError(t, json.Unmarshal(body, &texts))
	for key, text := range texts {
		if len(text) <= 40 {
			require.True(t, known[text], "LABELS.md has no row for %q (%s)", text, key)
		}
	}
}
