package public_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/api/public"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

func day(s string) calendar.Day {
	d, err := calendar.Parse(s)
	if err != nil {
		panic(err)
	}
	return d
}

func seen(id, account, port, item, on string) public.Waiting {
	return public.Waiting{
		Report:  pricing.Report{ID: id, Port: pricing.PortID(port), Item: pricing.ItemID(item), Day: day(on), Found: "yes"},
		Account: account, Received: day(on),
	}
}

func ids(ts []public.Told) (out []string) {
	for _, t := range ts {
		out = append(out, t.Report+" "+t.Day.String())
	}
	return out
}

func TestWhoseTurnItIs(t *testing.T) {
	t.Parallel()
	three := []public.Waiting{
		seen("1", "a", "P", "rice", "2026-06-02"), seen("2", "b", "P", "rice", "2026-06-09"), seen("3", "c", "P", "beer", "2026-06-20"),
	}
	late := three[2]
	late.Received = day("2026-07-08")
	for _, tt := range []struct {
		name    string
		waiting []public.Waiting
		today   string
		want    []string
	}{
		{"three accounts in a month", three, "2026-07-07", []string{"1 2026-06-01", "2 2026-06-01", "3 2026-06-01"}},
		{"a day too soon", three, "2026-07-06", nil},
		{"one that came late is nobody's but its own", []public.Waiting{three[0], three[1], late}, "2026-08-01", nil},
		{"two are too few", three[:2], "2026-08-01", nil},
		{"one account is one, however much it says", []public.Waiting{
			seen("1", "a", "P", "rice", "2026-06-02"), seen("2", "a", "P", "beer", "2026-06-03"), seen("3", "a", "P", "salt", "2026-06-04"),
		}, "2026-08-01", nil},
		{"other ports do not help", []public.Waiting{three[0], three[1], seen("3", "c", "Q", "rice", "2026-06-03")}, "2026-08-01", nil},
		{"other months do not help", []public.Waiting{three[0], three[1], seen("3", "c", "P", "rice", "2026-07-01")}, "2026-08-01", nil},
		{"an account is heard once", append(three[:3:3], seen("4", "a", "P", "rice", "2026-06-04")), "2026-07-27", []string{"2 2026-06-01", "3 2026-06-01", "4 2026-06-01"}},
		{"old enough, with its year alone", three[:1], "2028-01-03", []string{"1 2026-01-01"}},
		{"not yet old enough", three[:1], "2027-12-31", nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			require.Equal(t, tt.want, ids(public.Usual.Due(tt.waiting, day(tt.today))))
		})
	}
}

func TestTheFormTellsNothingMore(t *testing.T) {
	t.Parallel()
	r := pricing.Report{
		ID: "id", Port: "P", Item: "rice", Day: day("2026-06-17"), Found: "yes", Paid: money.Amount{Minor: 1, Currency: "EUR"}, Pack: 5,
		Shop: "shop", Reporter: "me", Source: pricing.Memory, Quality: 3, Origin: "ES", Note: "we leave at dawn", Replaces: "old",
	}
	require.Equal(t, pricing.Report{
		ID: "new", Port: "P", Item: "rice", Day: day("2026-06-01"), Found: "yes", Paid: r.Paid, Pack: 5, Reporter: "new", Source: pricing.Shelf,
	}, public.Form(r, "new", day("2026-06-01"), ""))
}

// Whatever the reports: every batch of a port's month has enough accounts, or
// is old; the order of the reports does not matter.
func TestNoBatchIsOneBoats(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(r *rapid.T) {
		var ws []public.Waiting
		account := map[string]string{}
		for i := range rapid.IntRange(0, 60).Draw(r, "n") {
			w := seen(fmt.Sprint(i), rapid.SampledFrom([]string{"a", "b", "c", "d"}).Draw(r, "who"), rapid.SampledFrom([]string{"P", "Q"}).Draw(r, "port"),
				rapid.SampledFrom([]string{"rice", "beer"}).Draw(r, "item"), "2026-06-01")
			w.Day += calendar.Day(rapid.IntRange(0, 90).Draw(r, "day"))
			account[w.ID] = w.Account
			ws = append(ws, w)
		}
		today := day("2026-06-01") + calendar.Day(rapid.IntRange(0, 120).Draw(r, "today"))
		due := public.Usual.Due(ws, today)
		who := map[string]map[string]bool{}
		port := map[string]string{}
		for _, w := range ws {
			port[w.ID] = string(w.Port)
		}
		for _, d := range due {
			k := port[d.Report] + d.Day.String()
			if who[k] == nil {
				who[k] = map[string]bool{}
			}
			who[k][account[d.Report]] = true
		}
		for k, accounts := range who {
			require.GreaterOrEqual(r, len(accounts), public.Usual.Enough, k)
		}
		told := map[string]bool{}
		for _, d := range due {
			told[d.Report] = true
			for _, id := range d.Instead {
				require.False(r, told[id])
				told[id] = true
			}
		}
		left := slices.DeleteFunc(slices.Clone(ws), func(w public.Waiting) bool { return told[w.ID] })
		require.Empty(r, public.Usual.Due(left, today), "the same day again tells nothing more")
		shuffled := rapid.Permutation(ws).Draw(r, "order")
		require.Equal(r, due, public.Usual.Due(shuffled, today))
	})
}

func TestWhatIsToldOfAPrice(t *testing.T) {
	t.Parallel()
	r := pricing.Report{Found: "yes", Paid: money.Amount{Minor: 449, Currency: "EUR"}, Pack: measure.Of(0.5)}
	how := public.Usually{Pack: measure.Of(0.5), Currency: "EUR", Factor: 1}
	for _, tt := range []struct {
		name string
		pack float64
		to   public.Usually
		u    float64
		want money.Amount
	}{
		{"to half a step of two digits", 0.5, how, 0, money.Amount{Minor: 450, Currency: "EUR"}},
		{"hazy", 0.5, how, 1, money.Amount{Minor: 550, Currency: "EUR"}},                                                                      // 4.49 · e^0.2 = 5.484
		{"another pack", 1, how, 0, money.Amount{Minor: 260, Currency: "EUR"}},                                                                // 4.49 · 0.5^0.8 = 2.579
		{"another currency", 0.5, public.Usually{Pack: how.Pack, Currency: "JPY", Factor: 170}, 0, money.Amount{Minor: 765, Currency: "JPY"}}, // 4.49 · 170 = 763.3
	} {
		r.Pack = measure.Of(tt.pack)
		paid, pack, ok := public.Blur(r, tt.to, tt.u)
		require.True(t, ok, tt.name)
		require.Equal(t, tt.want, paid, tt.name)
		require.Equal(t, how.Pack, pack, tt.name)
	}
	_, _, ok := public.Blur(r, public.Usually{Currency: "EUR", Factor: 1}, 0)
	require.False(t, ok)
	paid, pack, ok := public.Blur(pricing.Report{Found: pricing.FoundNone}, how, 0)
	require.True(t, ok)
	require.Zero(t, paid)
	require.Zero(t, pack)
}

// Before the day that is foretold nothing of a pool is due; on it something is,
// and stays so.
func TestTheDayForetold(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(r *rapid.T) {
		rule := public.Rule{Delay: rapid.IntRange(0, 20).Draw(r, "delay"), Enough: rapid.IntRange(1, 3).Draw(r, "enough"), Age: rapid.IntRange(0, 400).Draw(r, "age")}
		var ws []public.Waiting
		for i := range rapid.IntRange(1, 6).Draw(r, "reports") {
			w := seen(fmt.Sprint(i), rapid.SampledFrom([]string{"a", "b", "c"}).Draw(r, "account"), "P", rapid.SampledFrom([]string{"rice", "beer"}).Draw(r, "item"), "2026-06-01")
			w.Received = day("2026-06-01") + calendar.Day(rapid.IntRange(0, 29).Draw(r, "received"))
			w.Day = w.Received - calendar.Day(rapid.SampledFrom([]int{0, 1, 40, 183, 184, 400}).Draw(r, "ago"))
			ws = append(ws, w)
		}
		next := rule.Next(ws)
		require.Empty(r, rule.Due(ws, next-1))
		for _, after := range []calendar.Day{0, 1, 1000} {
			require.NotEmpty(r, rule.Due(ws, next+after))
		}
	})
	require.Zero(t, public.Usual.Next(nil))
}
