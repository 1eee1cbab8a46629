package scale

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/testdata/golden"
)

// The printed lists as they were last read with a skipper's eye. After a
// change that is meant: GOLDEN=write go test ./route/scale, and read them again.
func TestPrintedLists(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	for name, target := range map[string]Target{
		"delivery-3-people-12-days":       {People: 3, Days: 12, Reserve: 3, Fridge: 80},
		"couple-21-days-without-a-fridge": {People: 2, Days: 21, Reserve: 7, LockerC: 29},
		"four-18-days-with-a-freezer":     {People: 4, Days: 18, Reserve: 5, Fridge: 60, Freezer: 40},
	} {
		var got bytes.Buffer
		require.NoError(t, scaled(t, c, Starting(c), target).WriteText(&got))
		golden.Told(t, "testdata/"+name+".txt", got.String())
	}
}
