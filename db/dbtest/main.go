package dbtest

import (
	"errors"
	"fmt"
	"os"
	"testing"

	"go.uber.org/goleak"
)

// Main runs the tests of a package. It closes what tests on PostgreSQL share, and
// fails when anything they started is still running then, but for what is said
// not to matter.
func Main(m *testing.M, but ...goleak.Option) {
	code := m.Run()
	if err := errors.Join(CloseServer(), goleak.Find(but...)); err != nil && code == 0 {
		fmt.Fprintln(os.Stderr, err)
		code = 1
	}
	os.Exit(code)
}
