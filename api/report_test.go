package api_test

import (
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/api"
	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

var june = time.Date(2026, 6, 15, 12, 0, 0, 0, time.UTC)

func day(s string) calendar.Day {
	d, err := calendar.Parse(s)
	if err != nil {
		panic(err)
	}
	return d
}

func rice(amount string) api.Entry {
	return api.Entry{
		Port: "PTHOR", Item: "rice_white", Day: day("2026-06-01"), Found: pricing.FoundYes, Amount: amount, Currency: "EUR",
		Pack: "1 kg", Reporter: "r1", Source: pricing.Shelf,
	}
}

func TestPacksAsPeopleWriteThem(t *testing.T) {
	t.Parallel()
	s, _ := service(t, june)
	for _, tt := range []struct {
		item, pack string
		units      float64 // by hand; a pound is 0.45359237 kg by the international agreement of 1959
	}{
		{"rice_white", "500 g", 0.5}, {"rice_white", "2 lb", 0.90718474}, {"milk_uht", "1.5 l", 1.5}, {"milk_uht", "1,5 l", 1.5},
		{"milk_uht", "12 x 330 ml", 3.96}, {"egg_unwashed", "dozen", 12}, {"egg_unwashed", "6", 6},
	} {
		e := rice("3.00")
		e.Item, e.Pack = tt.item, tt.pack
		done, err := s.Record(ctx, e)
		require.NoError(t, err, tt.pack)
		r, err := s.Report(ctx, done.IDs[0])
		require.NoError(t, err)
		require.InDelta(t, tt.units, r.Pack.Units(), 1e-6, tt.pack)
	}
}

// An entry written from a report gives that report again.
func TestEntriesComeBack(t *testing.T) {
	t.Parallel()
	s, d := service(t, june)
	ports, err := s.Ports(ctx, "", 600)
	require.NoError(t, err)
	items := s.Items("", 300)
	rapid.Check(t, func(r *rapid.T) {
		it := rapid.SampledFrom(items).Draw(r, "item")
		e := api.Entry{
			ID: uuid.UUID(rapid.SliceOfN(rapid.Byte(), 16, 16).Draw(r, "id")).String(), Port: string(rapid.SampledFrom(ports).Draw(r, "port").ID), Item: string(it.ID),
			Day: day("2026-06-15") - calendar.Day(rapid.IntRange(0, 3000).Draw(r, "ago")), Reporter: rapid.StringMatching(`[a-zé ]{1,9}`).Draw(r, "reporter"),
			Found:  rapid.SampledFrom([]pricing.Found{pricing.FoundYes, pricing.FoundNone, pricing.Cheap, pricing.Fair, pricing.Dear}).Draw(r, "found"),
			Source: rapid.SampledFrom([]pricing.Source{pricing.Receipt, pricing.Shelf, pricing.Memory}).Draw(r, "source"),
			Note:   rapid.StringMatching(`[ -~é\n]{0,30}`).Draw(r, "note"), Quality: rapid.IntRange(0, 5).Draw(r, "quality"),
		}
		if e.Found == pricing.FoundYes {
			e.Amount = fmt.Sprintf("%d.%02d", rapid.IntRange(1, 9999).Draw(r, "whole"), rapid.IntRange(0, 99).Draw(r, "cents"))
			e.Currency = "EUR"
			e.Pack = fmt.Sprintf("%d.%03d %s", rapid.IntRange(0, 99).Draw(r, "units"), rapid.IntRange(1, 999).Draw(r, "parts"), it.Unit)
		}
		done, err := s.Record(ctx, e)
		require.NoError(r, err)
		first, err := s.Report(ctx, done.IDs[0])
		require.NoError(r, err)
		before, err := d.Change(ctx)
		require.NoError(r, err)
		again, err := s.Record(ctx, s.EntryOf(first))
		require.NoError(r, err)
		require.Equal(r, 1, again.Same)
		after, err := d.Change(ctx)
		require.NoError(r, err)
		require.Equal(r, before, after)
	})
}

func TestNearestNames(t *testing.T) {
	t.Parallel()
	s, _ := service(t, june)
	for text, want := range map[string]string{"egg_fresh": "egg_unwashed", "rice_whit": "rice_white", "Rice": "rice_white"} {
		e := rice("1")
		e.Item = text
		_, err := s.Record(ctx, e)
		require.ErrorContains(t, err, want)
	}
	for text, want := range map[string]string{"Hortta": "PTHOR", "pthor ": "PTHOR", "Las Palmas": "ESLPA"} {
		e := rice("1")
		e.Port = text
		_, err := s.Record(ctx, e)
		require.ErrorContains(t, err, want)
	}
}

func TestAReceiptTwiceIsOneReceipt(t *testing.T) {
	t.Parallel()
	s, d := service(t, june)
	r := api.Receipt{
		ID: uuid.NewString(), Port: "PTHOR", Day: day("2026-06-01"), Currency: "EUR", Reporter: "r1",
		Lines: []api.Line{{Item: "rice_white", Amount: "1.50", Pack: "1 kg"}, {Item: "rice_white", Amount: "1.50", Pack: "1 kg"}, {Item: "egg_unwashed", Found: pricing.FoundNone}},
	}
	var wg sync.WaitGroup
	for range 6 {
		wg.Go(func() {
			_, err := s.RecordReceipt(ctx, r)
			require.NoError(t, err)
		})
	}
	wg.Wait()
	n, err := d.CountReports(ctx, db.Filter{})
	require.NoError(t, err)
	require.Equal(t, 3, n, "two equal lines are two purchases")
}

func TestMeIsOneAndTheSame(t *testing.T) {
	t.Parallel()
	s, _ := service(t, june)
	first, err := s.Me(ctx)
	require.NoError(t, err)
	second, err := s.Me(ctx)
	require.NoError(t, err)
	require.Equal(t, first, second)
	other, _ := service(t, june)
	third, err := other.Me(ctx)
	require.NoError(t, err)
	require.NotEqual(t, first, third)
}

// What is believed follows what is reported, corrected and withdrawn, and asks
// for nothing later than its day.
func TestBeliefFollowsReports(t *testing.T) {
	t.Parallel()
	s, _ := service(t, june)
	believe := func(on string) pricing.Estimate {
		_, es, err := s.Estimates(ctx, []api.Pair{{Port: "PTHOR", Item: "rice_white", Day: day(on)}})
		require.NoError(t, err)
		return es[0]
	}
	fresh := believe("2026-06-15")
	require.Equal(t, pricing.BasisGuess, fresh.Basis)
	require.Positive(t, fresh.Price)
	var ids []string
	for k := range 6 {
		e := rice("6.00")
		e.Reporter = fmt.Sprint("r", k)
		done, err := s.Record(ctx, e)
		require.NoError(t, err)
		ids = append(ids, done.IDs...)
	}
	heard := believe("2026-06-15")
	require.Greater(t, heard.Price, fresh.Price)
	require.Greater(t, heard.Evidence, 1.0)
	require.Equal(t, day("2026-06-01"), heard.Newest)
	require.Equal(t, fresh, believe("2026-05-01"), "nobody knew it then")
	for k, id := range ids {
		_, err := s.Withdraw(ctx, id, fmt.Sprint("r", k), day("2026-06-02"))
		require.NoError(t, err)
	}
	require.InDelta(t, fresh.Price, believe("2026-06-15").Price, 1e-9)
	require.Greater(t, believe("2026-06-01").Evidence, 1.0, "withdrawn only from the day the withdrawal bears")
}

func TestTooManyDaysAtOnce(t *testing.T) {
	t.Parallel()
	s, _ := service(t, june)
	var pairs []api.Pair
	for k := range 17 {
		pairs = append(pairs, api.Pair{Port: "PTHOR", Item: "rice_white", Day: day("2026-01-01") + calendar.Day(k)})
	}
	_, _, err := s.Estimates(ctx, pairs)
	require.ErrorIs(t, err, api.ErrInvalid)
}
