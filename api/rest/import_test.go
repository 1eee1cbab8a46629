package rest_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api/rest"
)

const header = "report,port,item,day,found,amount,currency,pack,shop,reporter,source,quality,origin,note,replaces\n"

func row(n int) string {
	return fmt.Sprintf("%s,PTHOR,%s,2026-05-%02d,yes,%d.50,EUR,1,quay,r%d,shelf,,,,\n", id(n), someItem, 1+n%28, 1+n%5, n%7)
}

type imported struct {
	Rows, New, Same int
	Written         bool
	Rejected        []struct {
		Line                    int
		Column, Found, Expected string
	}
}

func (c *client) csv(query, text string) answer {
	c.t.Helper()
	return c.do("POST", "/v1/imports"+query, text, "Content-Type", "text/csv")
}

// Ten thousand rows, 37 of them bad in every way: each is told, and nothing is
// written unless asked to skip them.
func TestTenThousandRowsWithBadOnes(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	bad := []func(string) string{
		func(r string) string { return strings.Replace(r, "PTHOR", "Hortta", 1) },
		func(r string) string { return strings.Replace(r, someItem, "rice_whit", 1) },
		func(r string) string { return strings.Replace(r, "2026-05", "2027-05", 1) },
		func(r string) string { return strings.Replace(r, ".50,EUR", ".50,ZZZ", 1) },
		func(r string) string { return strings.Replace(r, ".50,EUR", ".50,KPW", 1) },
		func(r string) string { return strings.Replace(r, ".50,EUR", "e3,EUR", 1) },
		func(r string) string { return strings.Replace(r, "yes,", "yes,-", 1) },
		func(r string) string { return strings.Replace(r, "shelf", "hearsay", 1) },
		func(r string) string { return strings.Replace(r, ",quay", ",qu\x01ay", 1) },
		func(r string) string { return strings.Replace(r, ",,,,\n", ",9,,,\n", 1) },
		func(r string) string { return "x" + r },
		func(r string) string { return strings.Replace(r, ",EUR,1,", ",EUR,NaN,", 1) },
		func(r string) string { return strings.TrimSuffix(r, ",,\n") + "\n" },
	}
	var text strings.Builder
	text.WriteString(header)
	var lines []int
	for n := range 10_000 {
		r := row(n)
		if n%270 == 100 {
			r = bad[len(lines)%len(bad)](r)
			lines = append(lines, n+2)
		}
		text.WriteString(r)
	}
	require.Len(t, lines, 37)

	p := c.csv("", text.String()).problem(http.StatusUnprocessableEntity)
	require.Len(t, p.Errors, 37)
	for i, f := range p.Errors {
		require.Equal(t, lines[i], f.Line)
		require.NotEmpty(t, f.Problem)
	}
	require.Contains(t, p.Errors[0].Problem, "PTHOR (Horta, PT)")
	require.Empty(t, reports(c, ""))

	var done imported
	c.csv("?skip_bad=true&dry_run=true", text.String()).want(http.StatusOK).into(&done)
	require.Equal(t, 9963, done.New)
	require.Len(t, done.Rejected, 37)
	require.False(t, done.Written)
	require.Empty(t, reports(c, ""))

	c.csv("?skip_bad=true", text.String()).want(http.StatusOK).into(&done)
	require.True(t, done.Written)
	c.csv("?skip_bad=true", text.String()).want(http.StatusOK).into(&done)
	require.Equal(t, 9963, done.Same, "the same file again changes nothing")
	require.Zero(t, done.New)
}

func TestImportMindsWhatIsThere(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	c.csv("", header+row(1)).want(http.StatusOK)
	other := strings.Replace(row(1), "quay", "hill", 1)
	p := c.csv("", header+row(2)+other).problem(http.StatusUnprocessableEntity)
	require.Equal(t, "report", p.Errors[0].Path)
	require.Equal(t, 3, p.Errors[0].Line)

	fix := strings.Replace(row(8), ",\n", ","+id(1)+"\n", 1) // the same reporter, r1
	c.csv("", header+fix).want(http.StatusOK)
	theirs := strings.Replace(row(9), ",\n", ","+id(1)+"\n", 1)
	require.Equal(t, "replaces", c.csv("", header+theirs).problem(http.StatusUnprocessableEntity).Errors[0].Path)
	// A row that is refused takes with it what was to replace it.
	first, second := strings.Replace(row(15), "quay", "qu\x01ay", 1), strings.Replace(row(22), ",\n", ","+id(15)+"\n", 1)
	require.Len(t, c.csv("", header+second+first).problem(http.StatusUnprocessableEntity).Errors, 2)
	require.Len(t, reports(c, ""), 2)
}

func TestFilesThatAreRefused(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	for name, text := range map[string]string{
		"empty":            "",
		"no header":        row(1),
		"unknown column":   strings.Replace(header, "note", "notes", 1) + row(1),
		"a column missing": strings.Replace(header, ",note", "", 1) + row(1),
		"never closed":     header + "\"" + strings.Repeat("x", 2<<20),
		"binary":           "\x7fELF\x00\x01",
	} {
		require.NotEmpty(t, c.csv("", text).problem(http.StatusUnprocessableEntity).Errors, name)
	}
	c.do("POST", "/v1/imports", header, "Content-Type", "text/html").problem(http.StatusUnsupportedMediaType)
}
