package api_test

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"hardtack/api"
)

// What is written is read back by another's reader of workbooks: every sheet,
// text, number and truth value, whatever the texts hold.
func TestAWorkbookIsReadByOthers(t *testing.T) {
	t.Parallel()
	long := strings.Repeat("💧", 20_000)
	tables := []api.Table{
		{Name: "aboard", Head: []string{"item", "amount"}, Rows: [][]any{
			{"=1+1", 2.5}, {" <b>&\"'\n\tü ", -3}, {"", int64(1 << 40)}, {"tricky \x01 \xff", 1e-7}, {long, true}, {"only one"},
		}},
		{Name: "log & more", Head: []string{"a"}},
	}
	var b bytes.Buffer
	require.NoError(t, api.WriteXLSX(&b, tables))
	f, err := excelize.OpenReader(bytes.NewReader(b.Bytes()))
	require.NoError(t, err)
	defer f.Close()
	require.Equal(t, []string{"aboard", "log & more"}, f.GetSheetList())
	rows, err := f.GetRows("aboard")
	require.NoError(t, err)
	require.Equal(t, [][]string{
		{"item", "amount"}, {"=1+1", "2.5"}, {" <b>&\"'\n\tü ", "-3"}, {"", "1099511627776"}, {"tricky \uFFFD \uFFFD", "0.0000001"},
		{strings.Repeat("💧", 16_383), "TRUE"}, {"only one"},
	}, rows)
	formula, err := f.GetCellFormula("aboard", "A2")
	require.NoError(t, err)
	require.Empty(t, formula, "a text is never a formula")
	z, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	require.NoError(t, err)
	for _, part := range z.File {
		r, err := part.Open()
		require.NoError(t, err)
		for d := xml.NewDecoder(r); ; {
			if _, err = d.Token(); err != nil {
				break
			}
		}
		require.ErrorIs(t, err, io.EOF, part.Name)
		require.NoError(t, r.Close())
	}
	require.Error(t, api.WriteXLSX(io.Discard, []api.Table{{Name: "big", Rows: make([][]any, 1<<20)}}))
}
