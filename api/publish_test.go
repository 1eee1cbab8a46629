package api_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/public"
	"hardtack/db/dbtest"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/seed"
)

// What everybody is told of three boats in one port, to the last byte: neither
// who, nor on which day, nor in which shop, nor anything they wrote.
func TestWhatEverybodyIsTold(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	w, err := api.LoadWorld(seed.FS)
	require.NoError(t, err)
	now := time.Date(2026, 6, 15, 9, 41, 7, 0, time.UTC)
	s := api.New(dbtest.Open(t, dbtest.SQLite), w, api.Options{Now: func() time.Time { return now }, Public: true})
	var ids []string
	for i := range 3 {
		done, err := s.Record(ctx, api.Entry{
			Port: "ESLPA", Item: "rice_white", Day: s.Today(), Found: pricing.FoundYes, Amount: fmt.Sprintf("1.8%d", i), Currency: "EUR", Pack: "1 kg",
			Shop: "canary shop", Reporter: fmt.Sprint("canary reporter ", i), Source: pricing.Receipt, Note: "canary note", Quality: 4, Origin: "ES",
		})
		require.NoError(t, err)
		ids = append(ids, done.IDs...)
	}
	_, before, err := s.Estimates(ctx, []api.Pair{{Port: "ESLPA", Item: "rice_white"}})
	require.NoError(t, err)
	require.Zero(t, before[0].Evidence, "a figure rests on what is public alone")

	told, back, err := s.Publish(ctx, public.Usual)
	require.NoError(t, err)
	require.Zero(t, told+back, "June is not over")
	now = time.Date(2026, 7, 7, 12, 0, 0, 0, time.UTC)
	for _, want := range []int{3, 0} {
		told, _, err = s.Publish(ctx, public.Usual)
		require.NoError(t, err)
		require.Equal(t, want, told)
	}
	_, after, err := s.Estimates(ctx, []api.Pair{{Port: "ESLPA", Item: "rice_white"}})
	require.NoError(t, err)
	require.Positive(t, after[0].Evidence)

	files := map[string]*bytes.Buffer{}
	n, err := s.OpenData(ctx, func(name string) (io.WriteCloser, error) {
		files[name] = &bytes.Buffer{}
		return nop{files[name]}, nil
	})
	require.NoError(t, err)
	require.Equal(t, 3, n)
	reports := files["reports.csv"].String()
	require.Equal(t, 4, strings.Count(reports, "\n"))
	require.Equal(t, 3, strings.Count(reports, "2026-06-01"))
	for _, secret := range append(ids, "canary", "2026-06-15", "09:41") {
		for name, f := range files {
			if name != "ports.csv" && name != "rates.csv" {
				require.NotContains(t, f.String(), secret, name)
			}
		}
	}
	require.Contains(t, files["LICENCE.txt"].String(), "Open Data Commons Attribution License")
}

// Who reports a thing again in the same port and month is heard once, however
// often it is looked what is to be told.
func TestNobodyIsHeardTwice(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	w, err := api.LoadWorld(seed.FS)
	require.NoError(t, err)
	now := time.Date(2026, 6, 15, 9, 0, 0, 0, time.UTC)
	d := dbtest.Open(t, dbtest.SQLite)
	s := api.New(d, w, api.Options{Now: func() time.Time { return now }, Public: true})
	for i := range 9 {
		_, err := s.Record(ctx, api.Entry{
			Port: "ESLPA", Item: "rice_white", Day: s.Today() - 5 + calendar.Day(i/3), Found: pricing.FoundYes, Amount: fmt.Sprintf("1.8%d", i), Currency: "EUR", Pack: "1 kg",
			Reporter: fmt.Sprint("boat ", i%3), Source: pricing.Receipt,
		})
		require.NoError(t, err)
	}
	now = time.Date(2026, 7, 20, 12, 0, 0, 0, time.UTC)
	for _, want := range []int{3, 0, 0} {
		told, _, err := s.Publish(ctx, public.Usual)
		require.NoError(t, err)
		require.Equal(t, want, told)
	}
	now = now.AddDate(3, 0, 0)
	told, back, err := s.Publish(ctx, public.Usual)
	require.NoError(t, err)
	require.Zero(t, told+back, "nor when they are old")
}

type nop struct{ io.Writer }

func (nop) Close() error { return nil }
