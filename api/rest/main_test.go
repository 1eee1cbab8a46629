package rest_test

import (
	"os"
	"testing"

	"go.uber.org/goleak"

	"hardtack/db/dbtest"
)

// Nothing a request started is still running when the tests are over.
func TestMain(m *testing.M) {
	goleak.VerifyTestMain(closing{m})
}

// closing closes what tests on PostgreSQL share before anybody looks.
type closing struct{ m *testing.M }

// Run implements goleak.TestingM.
func (c closing) Run() int {
	code := c.m.Run()
	if err := dbtest.CloseServer(); err != nil {
		_, _ = os.Stderr.WriteString(err.Error())
		return 1
	}
	return code
}
