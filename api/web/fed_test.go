package web

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
)

// The page has the plan's figures by stay and leg, what each person needs, and
// whose label is to be read for whom, in the reader's words.
func TestEnergyProteinAndDiets(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	x := planOf(t, svc)
	page := unescape(v.get(demoVoyage + "/fed").body)
	require.Contains(t, page, fmt.Sprintf("%.0f kcal of a need of %.0f", x.Review.Kcal, x.Review.KcalNeed))
	require.Contains(t, page, fmt.Sprintf("%.0f g a person and day, safe from %.0f g", x.Review.ProteinG, x.Review.ProteinMin))
	require.NotEmpty(t, x.Review.Fed)
	for _, f := range x.Review.Fed {
		require.Contains(t, page, fmt.Sprintf(`<td class="n">%.0f</td><td class="n">%.0f</td>`, f.Kcal, f.KcalNeed))
	}
	for _, p := range x.Crew.Persons {
		require.Contains(t, page, fmt.Sprintf(`<th scope="row">%s</th>`, p.Name))
	}
	require.Contains(t, page, "Birgit does not eat: meat (fish yes)")
	require.Contains(t, page, "For the others only: ")
	require.Contains(t, page, "Read every label")
	require.Contains(t, page, "not advice on health")

	german := unescape(v.do("GET", demoVoyage+"/fed", nil, "Accept-Language", "de").body)
	require.Contains(t, german, "kein Gesundheitsrat")
	require.Contains(t, german, "Birgit isst nicht: ")
}

// A plan kept by an older version has no stays and legs; the page says so.
func TestEnergyOfAnOlderPlan(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	x := planOf(t, svc)
	x.Review.Fed = nil
	f := svc.FeedingOf(x)
	require.Empty(t, f.Parts)
	require.Positive(t, f.PersonDays)
	require.Len(t, f.Cautions, 2)
}

// A stay or leg with too little energy, or too little protein, is told of.
func TestAShortLegIsTold(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	x := planOf(t, svc)
	f := &x.Review.Fed[0]
	f.Kcal, f.ProteinG = f.KcalNeed, f.ProteinMin
	short := func() bool { return svc.FeedingOf(x).Parts[0].Short }
	require.False(t, short())
	f.Kcal = (1 - api.Tolerance - 0.01) * f.KcalNeed
	require.True(t, short())
	f.Kcal, f.ProteinG = f.KcalNeed, f.ProteinMin-1
	require.True(t, short())
}
