package main

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/db/dbtest"
)

// Every row of OWASP's Application Security Verification Standard 5.0, levels 1
// and 2, that the file has is answered: by a test that is there, or it is said
// to be open, or not to apply. Numbers and levels are the standard's; a row of
// level 0 answers for a whole chapter. Chapters 2, 4, 6, 7, 8, 13, 14 and 16
// are answered row by row.
func TestASVSIsAnswered(t *testing.T) {
	t.Parallel()
	f, err := os.Open(filepath.Join(root, "testdata", "asvs", "asvs-5.0.csv"))
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"requirement", "level", "answer", "where", "why"}, rows[0])
	seen, count, chapters := map[string]bool{}, map[string]int{}, map[string]bool{}
	for _, r := range rows[1:] {
		require.False(t, seen[r[0]], "%s is answered twice", r[0])
		seen[r[0]] = true
		chapter, _, _ := strings.Cut(r[0], ".")
		chapters[chapter] = true
		require.Contains(t, []string{"0", "1", "2"}, r[1], r[0])
		count[r[2]]++
		switch r[2] {
		case "test":
			requireTest(t, r[0], r[3])
		case "open", "not_applicable":
			require.NotEmpty(t, r[4], "%s: say why", r[0])
			require.Empty(t, r[3], r[0])
		default:
			t.Errorf("%s: answer %q", r[0], r[2])
		}
	}
	require.Len(t, chapters, 17)
	dbtest.Figure(t, "L6", "OWASP ASVS 5.0, levels 1 and 2", "%d by a test, %d open, %d do not apply", count["test"], count["open"], count["not_applicable"])
}

// requireTest wants a function of a test file, "file.go:Name".
func requireTest(t *testing.T, row, where string) {
	t.Helper()
	file, name, ok := strings.Cut(where, ":")
	require.True(t, ok && strings.HasSuffix(file, "_test.go"), "%s: %q", row, where)
	b, err := os.ReadFile(filepath.Join(root, filepath.FromSlash(file)))
	require.NoError(t, err, row)
	there := slices.ContainsFunc(strings.Split(string(b), "\n"), func(line string) bool {
		return strings.HasPrefix(line, "func ") && strings.Contains(line, " "+name+"(") || strings.HasPrefix(line, "func (") && strings.Contains(line, ") "+name+"(")
	})
	require.True(t, there, "%s: %s has no %s", row, file, name)
}
