// Package golden holds what a program told before, word for word.
package golden

import (
	"os"

	"github.com/stretchr/testify/require"
)

// Told requires that got is what a file holds; with GOLDEN=write in the environment
// the file is written instead.
func Told(t require.TestingT, file, got string) {
	if os.Getenv("GOLDEN") == "write" {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Equal(t, string(want), got)
}
