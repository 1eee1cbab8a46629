package rest_test

import (
	"testing"

	"go.uber.org/goleak"
)

// Nothing a request started is still running when the tests are over.
func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }
