//go:build unix

package main

import (
	"io"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is no file is written to, never put another file in the place of: not
// even as root may -o /dev/null take the machine its null device.
func TestWhatIsNoFileStaysWhatItIs(t *testing.T) {
	t.Parallel()
	u := user(t)
	pipe := filepath.Join(u.home, "pipe")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	said := make(chan string, 1)
	go func() {
		f, err := os.Open(pipe)
		if err != nil {
			said <- err.Error()
			return
		}
		defer f.Close()
		b, _ := io.ReadAll(f)
		said <- string(b)
	}()
	u.ok("scale", "--people", "3", "--days", "12", "-o", pipe)
	require.NotEmpty(t, <-said)
	info, err := os.Stat(pipe)
	require.NoError(t, err)
	require.Equal(t, os.ModeNamedPipe, info.Mode().Type())
}
