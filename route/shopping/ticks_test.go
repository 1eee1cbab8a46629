package shopping_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/shopping"
)

func TestReadTicks(t *testing.T) {
	t.Parallel()
	got, err := shopping.ReadTicks(strings.NewReader("From: the phone\n\nstop,item,got,none,price,pack,count\n1,rice_white,1,,\"2,49\",1 kg,3\r\n2,egg_unwashed,,1,,,\n\n"))
	require.NoError(t, err)
	require.Equal(t, []shopping.Tick{
		{Stop: 1, Item: "rice_white", Got: true, Price: "2,49", Pack: "1 kg", Count: "3"}, {Stop: 2, Item: "egg_unwashed", None: true},
	}, got)
	for _, bad := range []string{
		"", "1,rice_white,1,,,,\n", "stop,item,got,none,price,pack,count\n1,rice\n", "stop,item,got,none,price,pack,count\nx,rice,,,,,\n",
		"stop,item,got,none,price,pack,count\n-1,rice,,,,,\n", "stop,item,got,none,price,pack,count\n1,,,,,,\n",
	} {
		_, err := shopping.ReadTicks(strings.NewReader(bad))
		require.ErrorIs(t, err, shopping.ErrTicks, "%q", bad)
	}
}

func FuzzReadTicks(f *testing.F) {
	f.Add("stop,item,got,none,price,pack,count\n1,rice_white,1,,\"2,49\",1 kg,3\n")
	f.Fuzz(func(t *testing.T, text string) {
		ticks, err := shopping.ReadTicks(strings.NewReader(text))
		if err != nil {
			require.ErrorIs(t, err, shopping.ErrTicks)
		}
		for _, x := range ticks {
			require.NotEmpty(t, x.Item)
			require.GreaterOrEqual(t, x.Stop, 0)
		}
	})
}
