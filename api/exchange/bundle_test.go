package exchange

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/google/uuid"
	"github.com/klauspost/compress/zstd"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

func someID(n int) string { return uuid.NewSHA1(uuid.NameSpaceOID, fmt.Append(nil, n)).String() }

func price(n int) pricing.Report {
	return pricing.Report{
		ID: someID(n), Port: "PTHOR", Item: "rice", Day: 20_600, Found: pricing.FoundYes, Paid: money.Amount{Minor: 449, Currency: "EUR"},
		Pack: measure.Of(0.25), Shop: "by the church", Reporter: "r", Source: pricing.Receipt, Quality: 4, Origin: "BR", Note: "São Jorge\n2 left",
	}
}

func newCodec(t testing.TB) *Codec {
	t.Helper()
	c, err := NewCodec()
	require.NoError(t, err)
	return c
}

func anyRecord() *rapid.Generator[db.Record] {
	return rapid.Custom(func(r *rapid.T) db.Record {
		n := rapid.Int64().Draw(r, "n")
		rec := db.Record{Source: someID(rapid.IntRange(0, 3).Draw(r, "s")), Number: n, Report: pricing.Report{
			ID: someID(int(n)), Port: pricing.PortID(rapid.String().Draw(r, "port")), Item: pricing.ItemID(rapid.String().Draw(r, "item")),
			Day: calendar.Day(rapid.Int32().Draw(r, "day")), Found: pricing.Found(rapid.String().Draw(r, "found")),
			Paid: money.Amount{Minor: rapid.Int64().Draw(r, "paid"), Currency: "EUR"}, Pack: measure.Quantity(rapid.Int64().Draw(r, "pack")),
			Shop: rapid.String().Draw(r, "shop"), Reporter: rapid.String().Draw(r, "who"), Source: "shelf", Quality: rapid.Int().Draw(r, "quality"),
			Note: rapid.String().Draw(r, "note"),
		}}
		if rapid.Bool().Draw(r, "replaces") {
			rec.Replaces = someID(7)
		}
		return rec
	})
}

func TestAnyRecordsComeBack(t *testing.T) {
	t.Parallel()
	c := newCodec(t)
	rapid.Check(t, func(r *rapid.T) {
		want := rapid.SliceOfN(anyRecord(), 1, 20).Draw(r, "records")
		b, err := c.pack(want)
		require.NoError(r, err)
		got, err := c.unpack(b)
		require.NoError(r, err)
		require.Equal(r, want, got)
	})
	_, err := c.pack([]db.Record{{Report: pricing.Report{ID: "not a UUID"}, Source: someID(1)}})
	require.Error(t, err)
}

// Whatever comes over the link is read or refused, and never takes much.
func FuzzDecode(f *testing.F) {
	c := newCodec(f)
	page, err := c.pack([]db.Record{{Report: price(1), Source: someID(9), Number: 1}})
	require.NoError(f, err)
	good, err := c.Encode(Ask{Version: 1, Records: page, Have: []Reached{{Top: 3}}, Want: &Want{Ports: []string{"a"}, Stake: []float64{1}}})
	require.NoError(f, err)
	f.Add(good)
	f.Add(page)
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, b []byte) {
		var ask Ask
		if err := c.Decode(b, &ask); err == nil {
			_, _ = c.unpack(ask.Records)
		} else {
			require.ErrorIs(t, err, ErrUnreadable)
		}
		if rs, err := c.unpack(b); err == nil && len(b) > 0 {
			for _, r := range rs {
				_ = Check(r)
			}
		}
		_, err := c.Unbundle(bytes.NewReader(append([]byte(bundleLine), b...)))
		require.Error(t, err, "nobody's signature")
	})
}

func TestBombsAreRefused(t *testing.T) {
	t.Parallel()
	c := newCodec(t)
	w, err := zstd.NewWriter(nil)
	require.NoError(t, err)
	zeros := w.EncodeAll(make([]byte, 512<<20), nil)
	require.Less(t, len(zeros), 64<<10)
	deep := w.EncodeAll(bytes.Repeat([]byte{0x81}, 100_000), nil)
	wide := w.EncodeAll([]byte{0x9b, 0, 0, 0, 0x7f, 0xff, 0xff, 0xff, 0xff}, nil) // a list of half a trillion
	for _, bomb := range [][]byte{zeros, deep, wide, make([]byte, MaxMessage+1)} {
		var ask Ask
		require.ErrorIs(t, c.Decode(bomb, &ask), ErrUnreadable)
	}
}

func signedFile(t *testing.T, c *Codec) ([]byte, ed25519.PrivateKey) {
	t.Helper()
	key := ed25519.NewKeyFromSeed(bytes.Repeat([]byte{7}, 32))
	m := newMemory()
	for i := range 40 {
		m.add(price(i))
	}
	p := &Party{Codec: c, Log: m, Source: someID(1), Now: noon}
	rs, upTo, err := p.Gather(context.Background(), db.Mark{}, false, 1000)
	require.NoError(t, err)
	require.Len(t, rs, 40)
	require.Equal(t, m.rows[39].fed.Mark, upTo)
	var b bytes.Buffer
	require.NoError(t, p.Bundle(&b, key, rs))
	return b.Bytes(), key
}

func TestAFileBringsTheSame(t *testing.T) {
	t.Parallel()
	c := newCodec(t)
	file, key := signedFile(t, c)
	b, err := c.Unbundle(bytes.NewReader(file))
	require.NoError(t, err)
	require.Equal(t, key.Public(), b.Key)
	m := newMemory()
	p := &Party{Codec: c, Log: m, Source: someID(2), Now: noon}
	for _, want := range []Done{{Fetched: 40}, {Doubled: 40}} {
		done, err := p.TakeBundle(context.Background(), b, "mail")
		require.NoError(t, err)
		require.Equal(t, want, done)
	}
	require.Len(t, m.rows, 40)
}

// D5: 1,000 random damages, every one found before anything is taken.
func TestEveryDamageOfAFileIsFound(t *testing.T) {
	t.Parallel()
	c := newCodec(t)
	file, _ := signedFile(t, c)
	rng := rand.New(rand.NewPCG(1, 1))
	for range 1000 {
		bad := bytes.Clone(file)
		switch rng.IntN(3) {
		case 0:
			bad[rng.IntN(len(bad))] ^= byte(1 << rng.IntN(8))
		case 1:
			bad = bad[:rng.IntN(len(bad))]
		case 2:
			at := rng.IntN(len(bad))
			bad = append(bad[:at:at], append([]byte{byte(rng.Uint32())}, bad[at:]...)...)
		}
		_, err := c.Unbundle(bytes.NewReader(bad))
		require.True(t, errors.Is(err, ErrUnreadable) || errors.Is(err, ErrForged), "%v", err)
	}
}

func TestWhatCannotBeTaken(t *testing.T) {
	t.Parallel()
	good := db.Record{Report: price(1), Source: someID(2), Number: 1}
	require.Empty(t, Check(good))
	taken := good
	taken.Port, taken.Item = "XXNEW", "an-item-of-next-year"
	require.Empty(t, Check(taken), "an old program loses nothing")
	for name, spoil := range map[string]func(*db.Record){
		"id": func(r *db.Record) { r.ID = "a" }, "number": func(r *db.Record) { r.Number = 0 }, "port": func(r *db.Record) { r.Port = "" },
		"old": func(r *db.Record) { r.Day = 100 }, "nobody": func(r *db.Record) { r.Reporter = "" }, "zero byte": func(r *db.Record) { r.Note = "\x00" },
		"quality": func(r *db.Record) { r.Quality = 9 }, "found": func(r *db.Record) { r.Found = "perhaps" }, "source": func(r *db.Record) { r.Report.Source = "hearsay" },
		"free": func(r *db.Record) { r.Paid.Minor = 0 }, "negative": func(r *db.Record) { r.Pack = -1 }, "currency": func(r *db.Record) { r.Paid.Currency = "QQQ" },
		"dear": func(r *db.Record) { r.Found = pricing.Dear }, "withdraws nothing": func(r *db.Record) { r.Found = "" }, "replaces": func(r *db.Record) { r.Replaces = "x" },
		"long": func(r *db.Record) { r.Shop = string(make([]rune, 201)) }, "origin": func(r *db.Record) { r.Origin = "ESP" },
	} {
		bad := good
		spoil(&bad)
		require.NotEmpty(t, Check(bad), name)
	}
}
