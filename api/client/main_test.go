package client_test

import (
	"testing"

	"hardtack/db/dbtest"
)

// Nothing a visit started is still running when the tests are over.
func TestMain(m *testing.M) { dbtest.Main(m) }
