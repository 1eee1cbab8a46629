package dbtest

import (
	"errors"
	"fmt"
	"os"
	"testing"

	"go.uber.org/goleak"
)

// Main runs the tests of a package. It closes what tests on PostgreSQL share, and
// fails when anything they started is still running then.
func Main(m *testing.M) {
	code := m.Run()
	if err := errors.Join(CloseServer(), goleak.Find()); err != nil && code == 0 {
		fmt.Fprintln(os.Stderr, err)
		code = 1
	}
	os.Exit(code)
}
