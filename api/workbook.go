package api

import (
	"archive/zip"
	"encoding/xml"
	"fmt"
	"io"
	"strings"
	"unicode/utf16"
)

// WriteXLSX writes tables as a workbook, one sheet each: the least that ECMA-376,
// part 1 asks of a SpreadsheetML package, texts kept in their cells. Formats,
// formulas and styles are not needed; the library that has them all, and reads
// this in the tests, would make the program 1.4 MB larger.
func WriteXLSX(w io.Writer, tables []Table) error {
	z := zip.NewWriter(w)
	var types, sheets, rels strings.Builder
	for k, t := range tables {
		n := k + 1
		fmt.Fprintf(&types, `<Override PartName="/xl/worksheets/sheet%d.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/>`, n)
		fmt.Fprintf(&sheets, `<sheet name="%s" sheetId="%d" r:id="rId%d"/>`, escaped(t.Name), n, n)
		fmt.Fprintf(&rels, `<Relationship Id="rId%d" Type="%s/worksheet" Target="worksheets/sheet%d.xml"/>`, n, ofDocument, n)
	}
	for _, part := range [][2]string{
		{"[Content_Types].xml", `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">` +
			`<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
			`<Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>` +
			types.String() + `</Types>`},
		{"_rels/.rels", relationships(`<Relationship Id="rId1" Type="` + ofDocument + `/officeDocument" Target="xl/workbook.xml"/>`)},
		{"xl/workbook.xml", `<workbook xmlns="` + spreadsheet + `" xmlns:r="` + ofDocument + `"><sheets>` + sheets.String() + `</sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", relationships(rels.String())},
	} {
		f, err := z.Create(part[0])
		if err != nil {
			return err
		}
		if _, err := io.WriteString(f, xml.Header+part[1]); err != nil {
			return err
		}
	}
	for k, t := range tables {
		f, err := z.Create(fmt.Sprintf("xl/worksheets/sheet%d.xml", k+1))
		if err != nil {
			return err
		}
		if err := t.writeSheet(f); err != nil {
			return fmt.Errorf("sheet %s: %w", t.Name, err)
		}
	}
	return z.Close()
}

const (
	ofDocument  = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	spreadsheet = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"

	// What a sheet may hold; more, and spreadsheets call the file damaged.
	maxRows     = 1 << 20
	maxCellText = 1<<15 - 1 // UTF-16 units
)

func relationships(all string) string {
	return `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` + all + `</Relationships>`
}

func (t Table) writeSheet(w io.Writer) error {
	if len(t.Rows) >= maxRows {
		return fmt.Errorf("%d rows, a sheet holds %d: use CSV", len(t.Rows), maxRows-1)
	}
	var b strings.Builder
	b.WriteString(xml.Header + `<worksheet xmlns="` + spreadsheet + `"><sheetData>`)
	head := make([]any, len(t.Head))
	for n, h := range t.Head {
		head[n] = h
	}
	writeCells(&b, head)
	for _, row := range t.Rows {
		writeCells(&b, row)
		if b.Len() > 1<<16 {
			if _, err := io.WriteString(w, b.String()); err != nil {
				return err
			}
			b.Reset()
		}
	}
	b.WriteString(`</sheetData></worksheet>`)
	_, err := io.WriteString(w, b.String())
	return err
}

func writeCells(b *strings.Builder, row []any) {
	b.WriteString(`<row>`)
	for _, x := range row {
		switch x := x.(type) {
		case int, int64, float64:
			fmt.Fprintf(b, `<c><v>%v</v></c>`, x)
		case bool:
			fmt.Fprintf(b, `<c t="b"><v>%d</v></c>`, map[bool]int{true: 1}[x])
		default:
			b.WriteString(`<c t="inlineStr"><is><t xml:space="preserve">` + escaped(shortened(fmt.Sprint(x))) + `</t></is></c>`)
		}
	}
	b.WriteString(`</row>`)
}

// escaped is a text for XML; what XML cannot hold becomes U+FFFD.
func escaped(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a builder takes all
	return b.String()
}

// shortened cuts a text to what a cell holds.
func shortened(s string) string {
	units := 0
	for at, r := range s {
		if units += max(1, utf16.RuneLen(r)); units > maxCellText {
			return s[:at]
		}
	}
	return s
}
