package passage

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestShapeOfAFile(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct{ file, want string }{
		"usual":        {`<?xml version="1.0"?><gpx version="1.1"><rte><rtept lat="1" lon="2"><name>a &lt; b</name></rtept></rte></gpx>`, ""},
		"marks within": {`<gpx a="<<<>>>" b='">'><!-- <a><b> --><![CDATA[<a><a>]]><rte/></gpx>`, ""},
		"cut":          {`<gpx><!-- `, ""},
		"cut in a tag": {`<gpx a="`, ""},
		"deep":         {strings.Repeat("<a>", maxDepth+1), "deep"},
		"as deep":      {strings.Repeat("<a>", maxDepth) + strings.Repeat("</a>", maxDepth) + "<a></a>", ""},
		"long tag":     {`<gpx a="` + strings.Repeat("x", maxTag) + `">`, "tag"},
		"long text":    {"<gpx>" + strings.Repeat("x", maxRun+1), "text"},
		"points":       {"<gpx>" + strings.Repeat(`<trkpt/><wpt></wpt>`, maxGPXPoints/2) + "<rtept/>", "points"},
		"declaration":  {`<!DOCTYPE gpx><gpx/>`, "declaration"},
		"lone mark":    {`<`, ""},
	} {
		err := shape([]byte(tt.file))
		if tt.want == "" {
			require.NoError(t, err, name)
			continue
		}
		require.ErrorContains(t, err, tt.want, name)
	}
}

func FuzzShape(f *testing.F) {
	f.Add([]byte(`<gpx version="1.1"><rte><rtept lat="1" lon="2"/></rte></gpx>`))
	f.Add([]byte(`<!-- <![CDATA[ `))
	f.Fuzz(func(_ *testing.T, b []byte) { _ = shape(b) })
}
