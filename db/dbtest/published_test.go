package dbtest_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
)

func untold(t *testing.T, d *db.DB) []string {
	t.Helper()
	out := []string{}
	pools, err := d.Pools(ctx, day("2999-01-01"))
	require.NoError(t, err)
	require.NoError(t, d.EachUntold(ctx, pools, func(u db.Untold) error { out = append(out, u.ID+" "+u.Account); return nil }))
	return out
}

func toldOnce(t *testing.T, d *db.DB) {
	a, b, c := coffee(recordID(1)), coffee(recordID(2)), coffee(recordID(3))
	b.Reporter = "r2"
	c.Reporter = "r2"
	add(t, d, a, b, c)
	_, err := d.ClaimReporters(ctx, "acc", []string{"r2"})
	require.NoError(t, err)
	require.NoError(t, d.Judge(ctx, "m", c.ID, db.LeaveOut))
	require.ElementsMatch(t, []string{a.ID + " ", b.ID + " acc"}, untold(t, d))

	idOf := func(number int64) string { return recordID(49 + int(number)) }
	month := day("2026-06-01")
	ps := []db.Publication{{Report: a.ID, Day: month, Paid: money.Amount{Minor: 450, Currency: "EUR"}, Pack: a.Pack}, {Report: b.ID, Day: month}}
	told, back, err := d.Publish(ctx, ps, nil, idOf)
	require.NoError(t, err)
	require.Equal(t, []int{2, 0}, []int{told, back})
	require.Empty(t, untold(t, d))
	require.ElementsMatch(t, []string{a.ID, b.ID}, all(t, d, db.Filter{Published: true}))
	require.ElementsMatch(t, []string{b.ID, c.ID}, all(t, d, db.Filter{Account: "acc"}))

	form := func(r pricing.Report, id string, day calendar.Day, replaces string) pricing.Report {
		r.ID, r.Day, r.Replaces, r.Reporter = id, day, replaces, id
		return r
	}
	p := db.Published{DB: d, Source: recordID(9), Form: form}
	shelf := func(f db.Feed, after db.Mark) []db.Fed {
		fed, err := p.Records(ctx, f, after, 10)
		require.NoError(t, err)
		return fed
	}
	first := shelf(db.Feed{}, db.Mark{})
	require.Len(t, first, 2)
	i := slices.IndexFunc(first, func(f db.Fed) bool { return f.ID == recordID(50) })
	require.Equal(t, money.Amount{Minor: 450, Currency: "EUR"}, first[i].Paid)
	require.Len(t, shelf(db.Feed{NotFrom: "acc"}, db.Mark{}), 1, "not what it brought itself")
	require.Empty(t, shelf(db.Feed{Ports: []pricing.PortID{"X"}}, db.Mark{}))
	end, err := p.End(ctx)
	require.NoError(t, err)
	require.Equal(t, first[1].Mark, end)
	for _, m := range []db.Mark{{}, end} {
		there, err := p.HasMark(ctx, m)
		require.NoError(t, err)
		require.True(t, there)
	}
	there, err := p.HasMark(ctx, db.Mark{Seq: 1, ID: a.ID})
	require.NoError(t, err)
	require.False(t, there)

	gone := coffee(recordID(4)) // a is withdrawn, and what was told of it taken back, once
	gone.Found, gone.Replaces = pricing.Withdrawn, a.ID
	add(t, d, gone)
	for _, want := range []int{1, 0} {
		told, back, err = d.Publish(ctx, nil, nil, idOf)
		require.NoError(t, err)
		require.Equal(t, []int{0, want}, []int{told, back})
	}
	require.Equal(t, []string{b.ID}, all(t, d, db.Filter{Published: true}), "what was taken back is not told any more")
	last, err := d.LastPublished(ctx)
	require.NoError(t, err)
	require.Equal(t, change(t, d), last)
	for after, want := range map[int64][]string{end.Seq: {a.ID}, 0: nil, last: nil} { // of those a listener knew then
		var gone []string
		require.NoError(t, d.EachTakenBack(ctx, after, last, func(r pricing.Report) error { gone = append(gone, r.ID); return nil }))
		require.Equal(t, want, gone)
	}
	require.Equal(t, []string{b.ID}, all(t, d, db.Filter{Published: true, After: end.Seq - 1}))
	require.Empty(t, all(t, d, db.Filter{Published: true, After: end.Seq}))
	news := shelf(db.Feed{}, end)
	require.Len(t, news, 1)
	require.Equal(t, recordID(50), news[0].Replaces)
	require.Equal(t, pricing.Withdrawn, news[0].Found)
	require.Equal(t, recordID(50), news[0].Reporter, "as the one it takes back is of")
	require.Zero(t, news[0].Paid)
	require.EqualValues(t, 3, news[0].Number)

	d1, d2 := coffee(recordID(5)), coffee(recordID(6))
	add(t, d, d1, d2)
	require.Len(t, untold(t, d), 2)
	_, _, err = d.Publish(ctx, []db.Publication{{Report: d2.ID, Day: month, Instead: []string{d1.ID}}}, nil, idOf)
	require.NoError(t, err)
	require.Empty(t, untold(t, d), "one told instead of the other")
	require.ElementsMatch(t, []string{b.ID, d2.ID}, all(t, d, db.Filter{Published: true}))
}

func othersReplaceNothing(t *testing.T, d *db.DB) {
	a := coffee("a")
	b := coffee("b")
	b.Reporter, b.Replaces, b.Found = "another", "a", pricing.Withdrawn
	add(t, d, a, b)
	require.Equal(t, []string{"a"}, all(t, d, db.Filter{Standing: true}))
	require.Equal(t, []string{"a "}, untold(t, d))
	require.Equal(t, "[a]", fmt.Sprint(all(t, d, db.Filter{Standing: true, Port: "PTHOR"})))
}

// Of two that want to work alone one does; when it is done the other may.
func oneWorksAlone(t *testing.T, d *db.DB) {
	ran, err := d.Alone(ctx, "work", func(context.Context) error {
		again, err := d.Alone(ctx, "work", func(context.Context) error { return errors.New("both") })
		require.NoError(t, err)
		require.False(t, again)
		other, err := d.Alone(ctx, "other work", func(context.Context) error { return nil })
		require.NoError(t, err)
		require.True(t, other)
		return nil
	})
	require.NoError(t, err)
	require.True(t, ran)
	ran, err = d.Alone(ctx, "work", func(context.Context) error { return db.ErrFull })
	require.True(t, ran)
	require.ErrorIs(t, err, db.ErrFull)
}
