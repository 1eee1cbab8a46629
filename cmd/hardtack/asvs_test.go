package main

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/db/dbtest"
)

// Every row of OWASP's Application Security Verification Standard 5.0.0, levels
// 1 and 2, is answered: by a test that is there, or it is said to be open, or
// not to apply. Numbers and levels are the standard's (CC BY-SA 4.0), read in
// the file its repository publishes; the answers are ours.
func TestASVSIsAnswered(t *testing.T) {
	t.Parallel()
	rows := asvs(t, "asvs-5.0.csv", "requirement", "level", "answer", "where", "why")
	seen, count := map[string]string{}, map[string]int{}
	for _, r := range rows {
		require.NotContains(t, seen, r[0], "%s is answered twice", r[0])
		seen[r[0]] = r[1]
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
	require.Equal(t, released(t), seen, "each row of levels 1 and 2, and no other")
	dbtest.Figure(t, "L6", "OWASP ASVS 5.0.0, levels 1 and 2", "%d by a test, %d open, %d do not apply", count["test"], count["open"], count["not_applicable"])
}

// released are the levels of all rows of levels 1 and 2. The file has a line
// for each section with a digit for each row; release 5.0.0 has 345 rows.
func released(t *testing.T) map[string]string {
	t.Helper()
	out, all := map[string]string{}, 0
	for _, r := range asvs(t, "released.csv", "section", "levels") {
		for i, level := range r[1] {
			all++
			if level == '1' || level == '2' {
				out[r[0]+"."+strconv.Itoa(i+1)] = string(level)
			}
		}
	}
	require.Equal(t, 345, all)
	require.Len(t, out, 253)
	return out
}

func asvs(t *testing.T, name string, columns ...string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join(root, "testdata", "asvs", name))
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Equal(t, columns, rows[0])
	return rows[1:]
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
