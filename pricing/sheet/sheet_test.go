package sheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func read(text string) ([][2]string, []Rejection, error) {
	s, err := NewReader(strings.NewReader(text), "f.csv", []string{"a", "b"}, "c")
	if err != nil {
		return nil, nil, err
	}
	var rows [][2]string
	for s.Next() {
		rows = append(rows, [2]string{s.Text(0), s.Text(1) + s.Text(2)})
	}
	return rows, s.Rejected(), s.Err()
}

func TestColumnsInAnyOrder(t *testing.T) {
	t.Parallel()
	rows, rejected, err := read("\ufeffb,a\r\n1,2\r\n\"x\ny\",3\r\n")
	require.NoError(t, err)
	require.Empty(t, rejected)
	require.Equal(t, [][2]string{{"2", "1"}, {"3", "x\ny"}}, rows)
	rows, _, err = read("c,b,a\n3,2,1\n")
	require.NoError(t, err)
	require.Equal(t, [][2]string{{"1", "23"}}, rows)
}

func TestABadHeaderRefusesTheFile(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ text, says string }{
		{"", "empty"},
		{"a\n1\n", `column "b" is missing`},
		{"a,b,d\n", `unknown column "d"`},
		{"a,b,b\n", `"b" is there twice`},
		{"a,\"b\n", "quote"},
		{"A,b\n", `column "a" is missing`},
		{strings.Repeat(",", maxHeader+5000) + "\n", "a row of more than 65536 bytes"},
	} {
		_, _, err := read(tt.text)
		require.ErrorIs(t, err, ErrRefused, tt.text)
		require.ErrorContains(t, err, tt.says)
	}
}

func TestBrokenRowsRejectThemselves(t *testing.T) {
	t.Parallel()
	rows, rejected, err := read("a,b\n1,\"two\nlines\"\n1,2,3\nx\"y,2\n\xff,2\n5,6\n")
	require.NoError(t, err)
	require.Equal(t, [][2]string{{"1", "two\nlines"}, {"5", "6"}}, rows)
	require.Equal(t, []Rejection{
		{"f.csv", 4, "", "3 fields", "2 fields"},
		{"f.csv", 5, "", `bare " in non-quoted-field`, "fields as RFC 4180 quotes them"},
		{"f.csv", 6, "a", "\uFFFD", "UTF-8"},
	}, rejected)
}

func TestAnEndlessRowIsRefused(t *testing.T) {
	t.Parallel()
	_, _, err := read("a,b\n1,\"" + strings.Repeat("x\n", maxRow))
	require.ErrorIs(t, err, ErrRefused)
	_, rejected, err := read("a,b\n1,2\n1,\"x\n3,4\n")
	require.NoError(t, err)
	require.Len(t, rejected, 1)
	require.Equal(t, 3, rejected[0].Line)
}

func TestDecimal(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]float64{"1": 1, "-12.50": -12.5, "0.001": 0.001, "007": 7} {
		got, ok := Decimal(text)
		require.True(t, ok, text)
		require.InDelta(t, want, got, 0, text)
	}
	for _, text := range []string{"", "-", ".5", "5.", "+1", "1e3", "NaN", "Inf", "0x1", "1_0", "1,5", " 1", "1.2.3", "--1", "1-"} {
		_, ok := Decimal(text)
		require.False(t, ok, text)
	}
}

// A refusal says once that the file is refused, and where; its parts are to be had.
func TestRefusalTellsItsPlace(t *testing.T) {
	t.Parallel()
	_, err := NewReader(strings.NewReader("a,c\n1,2\n"), "x.csv", []string{"a", "b"})
	var r *Refusal
	require.ErrorAs(t, err, &r)
	require.ErrorIs(t, err, ErrRefused)
	require.Equal(t, Refusal{"x.csv", 1, `column "b" is missing; want a,b`}, *r)
	require.EqualError(t, err, `x.csv line 1: file refused: column "b" is missing; want a,b`)
}
