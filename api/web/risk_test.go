package web

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// The page says what runs short, and finds the reserve for a wish.
func TestRiskPageFindsAReserve(t *testing.T) {
	t.Parallel()
	v := visit(t, serve(t, invented(t), Options{}))
	page := v.get(demoVoyage + "/risk").body
	require.Contains(t, page, "No shop had it")
	require.NotContains(t, page, "Lasts then")
	page = v.get(demoVoyage + "/risk?wish=95").body
	require.Contains(t, page, `<option value="95" selected>`)
	require.Contains(t, page, "Lasts then")
	require.Contains(t, page, "never a promise")
	require.NotContains(t, v.get(demoVoyage+"/risk?wish=7").body, "Lasts then")
}
