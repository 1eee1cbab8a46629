package main

import (
	"encoding/json"
	"io/fs"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing/measure"
	"hardtack/route/scale"
	"hardtack/seed"
)

func TestScaleAListOfOnesOwn(t *testing.T) {
	t.Parallel()
	u := user(t)
	b, err := fs.ReadFile(seed.FS, "demo/stores-list.csv") // six people, twelve days
	require.NoError(t, err)
	list := u.file("list.csv", string(b))

	var r scale.Result
	require.NoError(t, json.Unmarshal([]byte(u.ok("--json", "scale", "--list", list, "--people", "2", "--days", "36", "--fridge", "80")), &r))
	require.Equal(t, 6.0, r.From.People)
	rice := measure.Quantity(0)
	for _, w := range r.Wants {
		if w.Item == "rice_white" {
			rice += w.Buy
		}
	}
	// Common practice, no source: what feeds six for 12 days feeds two for 36.
	require.InDelta(t, 2.5, rice.Units(), 0.51)

	out := filepath.Join(u.home, "out.txt")
	u.ok("scale", "--people", "3", "--days", "12", "-o", out)
	require.FileExists(t, out)
	require.Contains(t, u.ok("scale", "--people", "3", "--days", "12"), "Stores for 3 people, 12 days")
}

func TestScaleWithWhatIsAboard(t *testing.T) {
	t.Parallel()
	u := user(t)
	count := u.file("count.csv", "item,space,amount\nrice_white,dry,50 kg\n")
	var r scale.Result
	require.NoError(t, json.Unmarshal([]byte(u.ok("--json", "scale", "--people", "3", "--days", "12", "--aboard", count)), &r))
	for _, w := range r.Wants {
		require.False(t, w.Item == "rice_white" && w.Buy > 0, "there is rice enough")
	}
}

func TestScaleBadInput(t *testing.T) {
	t.Parallel()
	u := user(t)
	for _, tt := range []struct {
		name string
		args []string
		code int
		says string
	}{
		{"no people", []string{"--days", "12"}, exitUsage, "--people"},
		{"NaN", []string{"--people", "NaN", "--days", "12"}, exitUsage, "NaN"},
		{"negative", []string{"--people", "2", "--days=-1"}, exitUsage, "-1"},
		{"a list that does not say for whom", []string{"--people", "2", "--days", "9", "--list", u.file("a.csv", "item,amount\nrice_white,1 kg\n")}, exitUsage, "--for"},
		{"an item nobody knows", []string{"--people", "2", "--days", "9", "--list", u.file("b.csv", "people,2\ndays,3\nitem,amount\nrise_whit,1 kg\n")}, exitRefused, "rise_whit"},
		{"a bad count", []string{"--people", "2", "--days", "9", "--aboard", u.file("c.csv", "item,space,amount\nrice_white,dry,much\n")}, exitRefused, "much"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := u.run(append([]string{"scale"}, tt.args...)...)
			require.Equal(t, tt.code, r.code, r.err)
			require.Contains(t, r.err, tt.says)
		})
	}
}
