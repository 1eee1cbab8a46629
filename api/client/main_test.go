package client_test

import (
	"testing"

	"go.uber.org/goleak"

	"hardtack/db/dbtest"
)

// Nothing a visit started is still running when the tests are over. The proxy
// that cuts links may leave pieces of its own behind, one that was passing on
// what nobody takes any more.
func TestMain(m *testing.M) {
	const link = "github.com/Shopify/toxiproxy/v2.(*ToxicLink)."
	dbtest.Main(m,
		goleak.IgnoreAnyFunction("github.com/Shopify/toxiproxy/v2/toxics.(*ToxicStub).Run"),
		goleak.IgnoreAnyFunction(link+"read"), goleak.IgnoreAnyFunction(link+"write"))
}
