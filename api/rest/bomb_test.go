package rest_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/rest"
	"hardtack/db/dbtest"
)

// many is a text repeated to a length, made as it is read.
type many struct {
	text string
	left int
	at   int
}

func (m *many) Read(p []byte) (int, error) {
	if m.left <= 0 {
		return 0, io.EOF
	}
	n := 0
	for n < len(p) && n < m.left {
		c := copy(p[n:min(len(p), m.left)], m.text[m.at:])
		m.at = (m.at + c) % len(m.text)
		n += c
	}
	m.left -= n
	return n, nil
}

func wrapped(head, text string, size int, tail string) func() io.Reader {
	return func() io.Reader {
		return io.MultiReader(strings.NewReader(head), &many{text: text, left: size}, strings.NewReader(tail))
	}
}

// zipped is a gzip of a thousand times its size.
func zipped(size int) func() io.Reader {
	return func() io.Reader {
		var b bytes.Buffer
		w := gzip.NewWriter(&b)
		_, _ = io.Copy(w, &many{text: "\x00", left: size}) // into memory
		_ = w.Close()
		return &b
	}
}

type bomb struct {
	name, method, path, kind, encoding string
	body                               func() io.Reader
}

const (
	csvHead = "port,item,day,found,paid,currency,pack,reporter,source\n"
	csvRow  = "PTHOR,rice_white,2026-06-01,yes,1.85,EUR,1 kg,r1,receipt\n"
	mega    = 1 << 20
	most    = 12*mega - 500 // as large as a file may be
)

func bombs() []bomb {
	gpx := func(name, head, text string, size int, tail string) bomb {
		return bomb{name, "POST", "/v1/voyages/from-gpx", "application/gpx+xml", "", wrapped(head, text, size, tail)}
	}
	csv := func(name, head, text string, size int, tail string) bomb {
		return bomb{name, "POST", "/v1/imports?dry_run=true", "text/csv", "", wrapped(head, text, size, tail)}
	}
	object := func(name, method, path, head, text string, size int, tail string) bomb {
		return bomb{name, method, path, "application/json", "", wrapped(head, text, size, tail)}
	}
	return []bomb{
		csv("a cell of 50 MB", csvHead+"PTHOR,", "x", 50*mega, "\n"),
		csv("a quoted cell of 12 MB that never ends", csvHead+"PTHOR,\"", "x", most, ""),
		csv("12 MB of quotes", csvHead, "\"\"", most, ""),
		csv("12 MB of commas", csvHead, ",", most, "\n"),
		csv("12 MB of line ends", csvHead, "\n", most, ""),
		csv("a head of 12 MB", "", "a,", most, "\n"),
		csv("12 MB of rows without a price", csvHead, "a,b,c,d,e,f,g,h,i\n", most, ""),
		csv("12 MB of zeros", csvHead, "\x00", most, ""),
		{"a gzip of 64 MB as rows", "POST", "/v1/imports", "text/csv", "gzip", zipped(64 * mega)},
		gpx("nested 200,000 deep", `<gpx version="1.1">`, "<rte>", 5*200_000, ""),
		gpx("nested 12 MB deep", `<gpx version="1.1">`, "<a>", most, ""),
		gpx("a name of 12 MB", `<gpx version="1.1"><rte><name>`, "x", most, "</name></rte></gpx>"),
		gpx("entities within entities", `<!DOCTYPE g [<!ENTITY a "`+strings.Repeat("x", 1000)+`"><!ENTITY b "`+strings.Repeat("&a;", 1000)+`"><!ENTITY c "`+strings.Repeat("&b;", 1000)+`">]><gpx version="1.1"><rte><name>&c;`, "&c;", 3000, "</name></rte></gpx>"),
		gpx("a file of this machine", `<!DOCTYPE g [<!ENTITY f SYSTEM "file:///etc/hostname">]><gpx version="1.1"><rte><name>&f;`, " ", 1, "</name></rte></gpx>"),
		gpx("12 MB of attributes", `<gpx version="1.1" `, `a="b" `, most, `/>`),
		gpx("an attribute of 12 MB", `<gpx version="`, `1`, most, `"/>`),
		gpx("places that are no numbers", `<gpx version="1.1"><rte>`, `<rtept lat="NaN" lon="Inf"/>`, mega, `</rte></gpx>`),
		gpx("a million places", `<gpx version="1.1"><rte>`, `<rtept lat="38.5" lon="-28.6"/>`, most, `</rte></gpx>`),
		{"a gzip of 64 MB as a route", "POST", "/v1/voyages/from-gpx", "application/gpx+xml", "gzip", zipped(64 * mega)},
		object("nested 3.9 MB deep", "POST", "/v1/estimates", `{"pairs":`, "[", 3_900_000, ""),
		object("a text of 50 MB", "POST", "/v1/reports", `{"reports":[{"note":"`, "x", 50*mega, `"}]}`),
		object("a number of 3.9 million digits", "POST", "/v1/scale", `{"people":`, "9", 3_900_000, `,"days":3}`),
		object("3.9 MB of empty reports", "POST", "/v1/reports", `{"reports":[{}`, ",{}", 3_900_000, `]}`),
		object("3.9 MB of pairs", "POST", "/v1/estimates", `{"pairs":[{"port":"PTHOR","item":"rice_white"}`, `,{"port":"x","item":"y"}`, 3_900_000, `]}`),
		object("the same name over and over", "PUT", "/v1/vessels/mine", `{"id":"mine"`, `,"id":"mine"`, 3_900_000, `}`),
	}
}

// heap is what the program's memory holds at most while f runs, above what it
// held before. Collecting often keeps what is only waiting to be collected
// from being counted.
func heap(f func()) uint64 {
	defer debug.SetGCPercent(debug.SetGCPercent(10))
	sample := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
	read := func() uint64 { metrics.Read(sample); return sample[0].Value.Uint64() }
	runtime.GC()
	before, peak := read(), uint64(0)
	ctx, stop := context.WithCancel(context.Background())
	watched := make(chan struct{})
	go func() {
		defer close(watched)
		for ctx.Err() == nil {
			peak = max(peak, read())
			time.Sleep(time.Millisecond)
		}
	}()
	f()
	stop()
	<-watched
	return peak - min(before, peak)
}

// Files and documents made to take a server's memory or time: each is refused,
// or taken as what it is, soon and in little room. The time is the server's
// own: on a busy machine the whole test is given more.
func TestImportBombs(t *testing.T) {
	w, err := world()
	require.NoError(t, err)
	svc := api.New(dbtest.Open(t, dbtest.SQLite), w, api.Options{Now: func() time.Time { return noon }})
	s := httptest.NewServer(rest.New(svc, rest.Options{}))
	defer s.Close()
	require.Len(t, bombs(), 25)
	var worst time.Duration
	var room uint64
	for _, b := range bombs() {
		r, err := http.NewRequest(b.method, s.URL+b.path, b.body())
		require.NoError(t, err)
		r.Header.Set("Content-Type", b.kind)
		if b.encoding != "" {
			r.Header.Set("Content-Encoding", b.encoding)
		}
		var status int
		var said string
		begin, spent := time.Now(), dbtest.Processor()
		held := heap(func() {
			resp, err := http.DefaultClient.Do(r)
			if err != nil { // it hung up on us while we still sent
				status, said = http.StatusRequestEntityTooLarge, err.Error()
				return
			}
			defer resp.Body.Close()
			text, _ := io.ReadAll(io.LimitReader(resp.Body, 500))
			status, said = resp.StatusCode, string(text)
		})
		took := min(time.Since(begin), dbtest.Processor()-spent) // others may keep the machine busy
		worst, room = max(worst, took), max(room, held)
		t.Logf("%3d %6.0f ms %4d MB  %s", status, float64(took.Milliseconds()), held>>20, b.name)
		require.GreaterOrEqual(t, status, 400, "%s: %s", b.name, said)
		require.Less(t, status, 500, "%s: %s", b.name, said)
		require.Less(t, took, 2*time.Second, b.name)
		require.Less(t, held, uint64(64<<20), b.name)
	}
	dbtest.Figure(t, "L2", "bombs as CSV, GPX and JSON", "%d, none taken, the worst %.1f s and %d MB", len(bombs()), worst.Seconds(), room>>20)
}
