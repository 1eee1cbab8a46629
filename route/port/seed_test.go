package port

import (
	"encoding/csv"
	"os"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/route/geo"
	"hardtack/seed"
)

func loadSeed(t *testing.T) *Gazetteer {
	t.Helper()
	g, err := Load(seed.FS)
	require.NoError(t, err)
	return g
}

func TestSeedPorts(t *testing.T) {
	t.Parallel()
	g := loadSeed(t)
	rules, err := LoadRules(seed.FS)
	require.NoError(t, err)
	levels, err := LoadLevels(seed.FS)
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(g.All()), 320)
	own := regexp.MustCompile(`^x-[a-z0-9-]+$`)
	for _, p := range g.All() {
		locode := regexp.MustCompile(`^` + p.Country + `[A-Z2-9]{3}$`)
		require.True(t, locode.MatchString(string(p.ID)) || own.MatchString(string(p.ID)), "%s: neither UN/LOCODE nor own key", p.ID)
		_, ok := rules.Zone(p.Zone)
		require.True(t, ok, "%s: zone %s", p.ID, p.Zone)
		require.Positive(t, levels[p.Country].Level, "%s: price level of %s", p.ID, p.Country)
		require.NotEmpty(t, p.Source, p.ID)
	}
}

// Positions as GeoNames and tide stations have them: see testdata/ports/README.md.
func TestSeedPositions(t *testing.T) {
	t.Parallel()
	allowed := map[string]geo.NauticalMiles{"town": 3, "tide": 2.5}
	g := loadSeed(t)
	checked := map[pricing.PortID]bool{}
	for _, r := range readFixture(t, "../../testdata/ports/positions.csv") {
		p, ok := g.Port(pricing.PortID(r[0]))
		require.True(t, ok, "no port %s", r[0])
		d := geo.Distance(p.Position, geo.Position{Lat: number(t, r[3]), Lon: number(t, r[4])})
		exception := r[7] != ""
		require.Equal(t, exception, d > allowed[r[1]], "%s: %.1f nm from %s %s (%s)", p.ID, d, r[1], r[2], r[5])
		checked[p.ID] = checked[p.ID] || !exception
	}
	n := 0
	for _, ok := range checked {
		if ok {
			n++
		}
	}
	require.GreaterOrEqual(t, n, 540, "ports agreeing with an outside position")
}

func TestSeedApproaches(t *testing.T) {
	t.Parallel()
	coast, err := geo.LoadCoast(seed.FS)
	require.NoError(t, err)
	far := 0
	for _, p := range loadSeed(t).All() {
		d := geo.Distance(p.Position, p.Approach)
		require.False(t, coast.OnLand(p.Approach), "%s: approach on land", p.ID)
		require.True(t, coast.Navigable(p.Approach), "%s: approach not joined to the ocean", p.ID)
		require.Less(t, d, geo.NauticalMiles(30), "%s: approach", p.ID)
		if d > 12 {
			far++
		}
	}
	require.LessOrEqual(t, far, 10, "ports up a river or fjord")
}

func readFixture(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open(name)
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	return rows[1:]
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// Penn World Table 9.1, pl_c, as read: CPV .45, SUR .50, PRT .72, ESP .77,
// FRA .91, GBR .97, IRL 1.06, NOR 1.26, ISL 1.39; it has no Faroes, Greenland
// or French Guiana.
func TestSeedPriceLevels(t *testing.T) {
	t.Parallel()
	levels, err := LoadLevels(seed.FS)
	require.NoError(t, err)
	for country, want := range map[string]float64{
		"CV": .45, "SR": .50, "PT": .72, "ES": .77, "FR": .91, "GB": .97, "IE": 1.06, "NO": 1.26, "IS": 1.39,
	} {
		require.InDelta(t, want, levels[country].Level, .0051, country)
		require.Equal(t, "read", levels[country].Basis)
	}
	for _, country := range []string{"FO", "GL", "GF"} {
		require.Equal(t, "guess", levels[country].Basis, country)
	}
}
