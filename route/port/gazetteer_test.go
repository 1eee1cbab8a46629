package port

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/route/geo"
)

const header = "port,name,other_names,country,zone,island_group,currency,latitude,longitude,approach_lat,approach_lon,size,shop_note,shop_note_basis,source\n"

func file(name, text string) fstest.MapFS { return fstest.MapFS{name: {Data: []byte(text)}} }

func TestLoadRefuses(t *testing.T) {
	t.Parallel()
	const good = "PTHOR,Horta,,PT,EU,,EUR,38.53,-28.62,38.52,-28.58,town,,,s\n"
	for _, tt := range []struct{ name, text, want string }{
		{"no header", good, "columns"},
		{"the id twice", header + good + "pthor,Elsewhere,,PT,EU,,EUR,1,1,1,1,town,,,s\n", "id is taken"},
		{"the place twice", header + good + "x-horta,HORTA,,PT,EU,,EUR,38.54,-28.62,1,1,town,,,s\n", "called the same"},
		{"a latitude off the Earth", header + "PTHOR,Horta,,PT,EU,,EUR,98.53,-28.62,1,1,town,,,s\n", "latitude"},
		{"no number", header + "PTHOR,Horta,,PT,EU,,EUR,north,-28.62,1,1,town,,,s\n", "latitude \"north\""},
		{"NaN", header + "PTHOR,Horta,,PT,EU,,EUR,NaN,-28.62,1,1,town,,,s\n", "latitude"},
		{"a currency nobody has", header + "PTHOR,Horta,,PT,EU,,EUX,38,-28.62,1,1,town,,,s\n", "currency"},
		{"a size of its own", header + "PTHOR,Horta,,PT,EU,,EUR,38,-28.62,1,1,huge,,,s\n", "size"},
		{"a short row", header + "PTHOR,Horta\n", "ports.csv"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			_, err := Load(file("ports.csv", tt.text))
			require.ErrorContains(t, err, tt.want)
			require.ErrorContains(t, err, "ports.csv")
		})
	}
}

func TestWith(t *testing.T) {
	t.Parallel()
	g := loadSeed(t)
	cove := Port{ID: "x-our-cove", Name: "Our Cove", Country: "PT", Currency: "EUR", Position: geo.Position{Lat: 39, Lon: -28}}
	more, err := g.With([]Port{cove})
	require.NoError(t, err)
	require.Len(t, more.All(), len(g.All())+1)
	got, ok := more.Port("X-OUR-COVE")
	require.True(t, ok)
	require.Equal(t, "PT", got.Zone, "a country is its own zone unless said otherwise")
	_, ok = g.Port("x-our-cove")
	require.False(t, ok, "the old gazetteer stays as it was")
	_, err = more.With([]Port{cove})
	require.ErrorIs(t, err, ErrDuplicate)
	cove.ID = "with space"
	_, err = g.With([]Port{cove})
	require.ErrorIs(t, err, ErrInvalid)
}

func TestSearch(t *testing.T) {
	t.Parallel()
	g := loadSeed(t)
	for _, tt := range []struct {
		asked string
		want  pricing.PortID
	}{
		{"PTHOR", "PTHOR"},
		{"pt hor", "PTHOR"},
		{"horta", "PTHOR"},
		{"Hrota", "PTHOR"},
		{"São Miguel", "PTPDL"},
		{"la coruna", "x-a-coruna"},
		{"La Corunna", "x-a-coruna"},
		{"seydisfjordur", "x-seydisfjordur"},
		{"Seyðisfjördur", "x-seydisfjordur"},
		{"torshavn", "x-torshavn"},
		{"TVOROYRI", "x-tvoroyri"},
		{"Saint Peter Port", "x-saint-peter-port"},
		{"St. Peter Port", "x-saint-peter-port"},
		{"nukualofa", "TOTBU"},
		{"Aber Wrach", "x-l-aber-wrac-h"},
		{"Georgetown GY", "GYGEO"},
		{"Mindelo Cape Verde", "CVMIN"},
		{"Alesund", "NOAES"},
		{"  mindelo ", "CVMIN"},
	} {
		t.Run(tt.asked, func(t *testing.T) {
			t.Parallel()
			got := g.Search(tt.asked, 5)
			require.NotEmpty(t, got)
			require.Equal(t, tt.want, got[0].ID)
		})
	}
	require.Empty(t, g.Search("", 5))
	require.Empty(t, g.Search("qqqqqqqq", 5))
	require.Empty(t, g.Search("Horta", 0))
	require.Len(t, g.Search("azores", 100), 12, "an island group gives its ports")
}

func TestNear(t *testing.T) {
	t.Parallel()
	g := loadSeed(t)
	got := g.Near(geo.Position{Lat: 38.53, Lon: -28.6}, 2)
	require.Len(t, got, 2)
	require.Equal(t, pricing.PortID("PTHOR"), got[0].ID)
	require.Equal(t, pricing.PortID("x-madalena-do-pico"), got[1].ID)
	require.Empty(t, g.Near(geo.Position{}, 0))
	require.Len(t, g.Near(geo.Position{}, 1e6), len(g.All()))
	require.Equal(t, pricing.PortID("x-savusavu"), g.Near(geo.Position{Lat: -16.7, Lon: -179.9}, 1)[0].ID, "over the antimeridian")
}

func FuzzSearch(f *testing.F) {
	g := &Gazetteer{byID: map[pricing.PortID]int{}}
	require.NoError(f, g.add(Port{ID: "PTHOR", Name: "Horta", Country: "PT", Currency: "EUR"}))
	for _, s := range []string{"Horta", "\xff\xfe", "ﬀ ", "İ", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		require.LessOrEqual(t, len(g.Search(s, 3)), 1)
	})
}
