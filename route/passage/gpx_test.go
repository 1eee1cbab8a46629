package passage

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/route"
	"hardtack/route/geo"
)

func gpxFile(body string) string {
	return `<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">` + body + `</gpx>`
}

func point(kind string, lat, lon float64, inside string) string {
	return fmt.Sprintf(`<%s lat="%v" lon="%v">%s</%s>`, kind, lat, lon, inside, kind)
}

func read(t *testing.T, text string) (route.Voyage, []string) {
	t.Helper()
	g, _ := world()
	v, notes, err := ReadGPX(strings.NewReader(text), g)
	require.NoError(t, err)
	var said []string
	for _, n := range notes {
		said = append(said, n.String())
	}
	return v, said
}

func ids(v route.Voyage) []pricing.PortID {
	var out []pricing.PortID
	for _, s := range v.Stops {
		out = append(out, s.Port)
	}
	return out
}

func TestReadGPXRoute(t *testing.T) {
	t.Parallel()
	v, notes := read(t, gpxFile("<rte><name>Homeward</name>"+
		point("rtept", 38.53, -28.62, "<name>Horta marina</name>")+
		point("rtept", 38.52, -28.60, "<name>fairway</name>")+ // still Horta
		point("rtept", 45, -15, "<name>WP1</name>")+
		point("rtept", 49, -7, "")+
		point("rtept", 50.0, -5.0, "<name>Falmouth</name>")+ // 9 nm off, by its name
		point("rtept", 50.36, -4.14, "")+
		"</rte><rte></rte>"))
	require.Equal(t, "Homeward", v.Name)
	require.Equal(t, []pricing.PortID{"PTHOR", "GBFAL", "GBPLY"}, ids(v))
	require.Equal(t, []geo.Position{{Lat: 45, Lon: -15}, {Lat: 49, Lon: -7}}, v.Stops[0].Leg.Via)
	require.Empty(t, v.Stops[1].Leg.Via)
	require.Contains(t, notes[0], "2 routes")
	it := settle(t, v)
	require.Greater(t, it.Ways[0].DistanceNM, geo.NauticalMiles(1200))
}

func TestReadGPXTrack(t *testing.T) {
	t.Parallel()
	at := func(lat, lon float64, time string) string {
		return point("trkpt", lat, lon, "<time>"+time+"</time>")
	}
	v, notes := read(t, gpxFile("<trk><trkseg>"+
		at(38.53, -28.62, "2026-06-01T08:00:00Z")+
		at(38.68, -28.20, "2026-06-01T14:00:00Z")+ // past Velas without a rest
		at(38.652, -27.218, "2026-06-02T08:00:00Z")+
		at(38.653, -27.217, "2026-06-03T08:00:00Z")+ // a day at Angra
		at(37.9, -26, "2026-06-04T01:00:00Z")+
		at(37.738, -25.66, "2026-06-04T08:00:00Z")+
		"</trkseg></trk>"))
	require.Equal(t, []pricing.PortID{"PTHOR", "PTADH", "PTPDL"}, ids(v))
	require.Contains(t, notes[0], "no route")
}

func TestReadGPXWaypoints(t *testing.T) {
	t.Parallel()
	v, notes := read(t, gpxFile("<metadata><name>Two</name></metadata>"+
		point("wpt", 16.886, -25, "")+point("wpt", 13.1, -59.62, "")))
	require.Equal(t, "Two", v.Name)
	require.Equal(t, []pricing.PortID{"CVMIN", "BBBGI"}, ids(v))
	require.Contains(t, notes[0], "file order")
}

func TestReadGPXRefuses(t *testing.T) {
	t.Parallel()
	g, _ := world()
	horta := point("rtept", 38.53, -28.62, "")
	for _, tt := range []struct{ name, text, want string }{
		{"nothing", "", "EOF"},
		{"no XML", "lat,lon\n1,2\n", "EOF"},
		{"cut off", gpxFile("<rte>" + horta)[:120], "unexpected EOF"},
		{"another document", "<html></html>", "<gpx>"},
		{"no points", gpxFile(""), "0 points"},
		{"one point", gpxFile("<rte>" + horta + "</rte>"), "1 points"},
		{"one port", gpxFile("<rte>" + horta + horta + "</rte>"), "one call, at PTHOR"},
		{"ends at sea", gpxFile("<rte>" + horta + point("rtept", 45, -30, "<name>buoy</name>") + "</rte>"), `point 2 "buoy" at 45°00.0'N 030°00.0'W is no port known: the nearest`},
		{"begins at sea", gpxFile("<rte>" + point("rtept", 45, -30, "") + horta + "</rte>"), "point 1"},
		{"no latitude", gpxFile("<rte>" + horta + "<rtept></rtept></rte>"), "point 2 \"\": want attributes lat and lon"},
		{"a latitude off the Earth", gpxFile("<rte>" + horta + point("rtept", 91, 0, "") + "</rte>"), "latitude 91"},
		{"NaN", gpxFile("<rte>" + horta + `<rtept lat="NaN" lon="1"></rtept></rte>`), "latitude NaN"},
		{"a word for a number", gpxFile("<rte>" + horta + `<rtept lat="north" lon="1"></rtept></rte>`), "north"},
		{"too many points", gpxFile("<rte>" + strings.Repeat(horta, maxRoute+1) + "</rte>"), "want at most 2000"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			_, _, err := ReadGPX(strings.NewReader(tt.text), g)
			require.ErrorIs(t, err, ErrGPX)
			require.ErrorContains(t, err, tt.want)
		})
	}
}

type endless struct{}

func (endless) Read(b []byte) (int, error) {
	for i := range b {
		b[i] = ' '
	}
	return len(b), nil
}

func TestReadGPXEndless(t *testing.T) {
	t.Parallel()
	g, _ := world()
	_, _, err := ReadGPX(endless{}, g)
	require.ErrorIs(t, err, ErrGPX)
	require.ErrorContains(t, err, "longer than")
}

func FuzzReadGPX(f *testing.F) {
	g, _ := world()
	f.Add(gpxFile("<rte>" + point("rtept", 38.53, -28.62, "<time>2026-06-01T08:00:00Z</time>") + point("rtept", 37.74, -25.66, "") + "</rte>"))
	f.Add(gpxFile("<trk><trkseg>" + point("trkpt", 38.53, -28.62, "") + point("trkpt", 179.9, 1e300, "") + "</trkseg></trk>"))
	f.Add("<gpx><wpt lat='1'/><wpt/></gpx>")
	f.Add("\xff\xfe<gpx")
	f.Fuzz(func(t *testing.T, text string) {
		v, _, err := ReadGPX(strings.NewReader(text), g)
		if err != nil {
			require.ErrorIs(t, err, ErrGPX)
			return
		}
		require.GreaterOrEqual(t, len(v.Stops), 2)
		require.NoError(t, check(v))
	})
}
