package shopping_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/shopping"
)

func TestReadTicks(t *testing.T) {
	t.Parallel()
	got, err := shopping.ReadTicks(strings.NewReader("From: the phone\n\ncall,item,got,none,price,pack,count\nESLPA@2026-09-19,rice_white,1,,\"2,49\",1 kg,3\r\nCVMIN@2026-10-02,egg_unwashed,,1,,,\n\n"))
	require.NoError(t, err)
	require.Equal(t, []shopping.Tick{
		{Call: call(t, "ESLPA@2026-09-19"), Item: "rice_white", Got: true, Price: "2,49", Pack: "1 kg", Count: "3"}, {Call: call(t, "CVMIN@2026-10-02"), Item: "egg_unwashed", None: true},
	}, got)
	for _, bad := range []string{
		"", "ESLPA@2026-09-19,rice_white,1,,,,\n", "call,item,got,none,price,pack,count\nESLPA@2026-09-19,rice\n", "call,item,got,none,price,pack,count\nESLPA,rice,,,,,\n",
		"call,item,got,none,price,pack,count\n@2026-09-19,rice,,,,,\n", "call,item,got,none,price,pack,count\nESLPA@2026-09-19,,,,,,\n",
	} {
		_, err := shopping.ReadTicks(strings.NewReader(bad))
		require.ErrorIs(t, err, shopping.ErrTicks, "%q", bad)
	}
}

func FuzzReadTicks(f *testing.F) {
	f.Add("call,item,got,none,price,pack,count\nESLPA@2026-09-19,rice_white,1,,\"2,49\",1 kg,3\n")
	f.Fuzz(func(t *testing.T, text string) {
		ticks, err := shopping.ReadTicks(strings.NewReader(text))
		if err != nil {
			require.ErrorIs(t, err, shopping.ErrTicks)
		}
		for _, x := range ticks {
			require.NotEmpty(t, x.Item)
			require.NotEmpty(t, x.Call.Port)
		}
	})
}

func call(t *testing.T, text string) shopping.Call {
	t.Helper()
	c, err := shopping.ParseCall(text)
	require.NoError(t, err)
	require.Equal(t, text, c.String())
	return c
}
