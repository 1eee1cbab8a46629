package dataset

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

const (
	portsFile = "port,name,country,latitude,longitude\nPTHOR,Horta,PT,38.53,-28.63\nCVMIN,Mindelo,CV,,\n"
	itemsFile = "item,name,category,unit,list_pack\nrice,Rice,staple,kg,1\nmilk,Milk,dairy,L,1\negg,Egg,egg,each,12\n"
	ratesFile = "currency,day,per_reference\nEUR,2026-01-01,1\nCVE,2026-01-01,110.265\n"
	header    = "report,port,item,day,found,amount,currency,pack,shop,reporter,source,quality,origin,note,replaces\n"
)

// id is a UUID that ends in n.
func id(n int) string { return fmt.Sprintf("00000000-0000-4000-8000-%012d", n) }

func files(reports string) fstest.MapFS {
	return fstest.MapFS{
		"ports.csv": {Data: []byte(portsFile)}, "items.csv": {Data: []byte(itemsFile)},
		"rates.csv": {Data: []byte(ratesFile)}, "reports.csv": {Data: []byte(header + reports)},
	}
}

func day(s string) calendar.Day {
	d, err := calendar.Parse(s)
	if err != nil {
		panic(err)
	}
	return d
}

func TestReadAGoodRow(t *testing.T) {
	t.Parallel()
	d, rejected, err := Read(files(strings.ToUpper(id(1)) +
		`,CVMIN,rice,2026-02-03,yes,220.53,CVE,2.5,"market, by the ""quay""",b1,receipt,4,BR,"two` + "\n" + `lines",` + "\n" +
		id(2) + ",PTHOR,milk,2026-02-04,none,,,,,b1,memory,,,,\n" +
		id(3) + ",PTHOR,milk,2026-02-05,,,,,,b1,,,,," + id(2) + "\n"))
	require.NoError(t, err)
	require.Empty(t, rejected)
	require.Equal(t, []Port{{"PTHOR", "Horta", "PT", 38.53, -28.63, true}, {"CVMIN", "Mindelo", "CV", 0, 0, false}}, d.Ports)
	require.Equal(t, Item{"egg", "Egg", "egg", measure.Each, measure.Of(12)}, d.Items[2])
	require.Equal(t, []pricing.Report{
		{
			ID: id(1), Port: "CVMIN", Item: "rice", Day: day("2026-02-03"), Found: pricing.FoundYes,
			Paid: money.Amount{Minor: 22053, Currency: "CVE"}, Pack: measure.Of(2.5), Shop: `market, by the "quay"`,
			Reporter: "b1", Source: pricing.Receipt, Quality: 4, Origin: "BR", Note: "two\nlines",
		},
		{ID: id(2), Port: "PTHOR", Item: "milk", Day: day("2026-02-04"), Found: pricing.FoundNone, Reporter: "b1", Source: pricing.Memory},
		{ID: id(3), Port: "PTHOR", Item: "milk", Day: day("2026-02-05"), Reporter: "b1", Replaces: id(2)},
	}, d.Reports)
}

func TestBadRowsAreRejectedByColumn(t *testing.T) {
	t.Parallel()
	good := strings.Split(id(1)+",PTHOR,rice,2026-02-03,yes,2.50,EUR,1,,b1,receipt,,,,", ",")
	for _, tt := range []struct {
		name  string
		cells map[int]string
		at    int
	}{
		{"no UUID", map[int]string{colReport: "r1"}, colReport},
		{"a UUID in braces", map[int]string{colReport: "{" + id(1) + "}"}, colReport},
		{"unknown port", map[int]string{colPort: "XXXXX"}, colPort},
		{"unknown item", map[int]string{colItem: "caviar"}, colItem},
		{"no such day", map[int]string{colDay: "2026-02-30"}, colDay},
		{"a day and time", map[int]string{colDay: "2026-02-03T10:00:00Z"}, colDay},
		{"an unknown word", map[int]string{colFound: "maybe"}, colFound},
		{"a withdrawal of nothing", map[int]string{colFound: "", colAmount: "", colCurrency: "", colPack: ""}, colFound},
		{"exponent", map[int]string{colAmount: "2.5e0"}, colAmount},
		{"decimal comma", map[int]string{colAmount: "2;5"}, colAmount},
		{"NaN", map[int]string{colAmount: "NaN"}, colAmount},
		{"negative", map[int]string{colAmount: "-2.50"}, colAmount},
		{"for nothing", map[int]string{colAmount: "0"}, colAmount},
		{"no amount", map[int]string{colAmount: ""}, colAmount},
		{"no currency", map[int]string{colCurrency: ""}, colCurrency},
		{"no such currency", map[int]string{colCurrency: "EUX"}, colCurrency},
		{"a currency without rate", map[int]string{colCurrency: "GBP"}, colCurrency},
		{"no pack", map[int]string{colPack: ""}, colPack},
		{"empty pack", map[int]string{colPack: "0"}, colPack},
		{"endless pack", map[int]string{colPack: "Inf"}, colPack},
		{"amount of nothing found", map[int]string{colFound: "none"}, colAmount},
		{"pack of a remark", map[int]string{colFound: "cheap", colAmount: "", colCurrency: ""}, colPack},
		{"no reporter", map[int]string{colReporter: ""}, colReporter},
		{"no source", map[int]string{colSource: ""}, colSource},
		{"unknown source", map[int]string{colSource: "dream"}, colSource},
		{"quality 6", map[int]string{colQuality: "6"}, colQuality},
		{"origin in words", map[int]string{colOrigin: "Spain"}, colOrigin},
		{"replaces no id", map[int]string{colReplaces: "7"}, colReplaces},
		{"replaces an unknown report", map[int]string{colReplaces: id(9)}, colReplaces},
	} {
		row := append([]string(nil), good...)
		for c, text := range tt.cells {
			row[c] = text
		}
		other := id(2) + ",PTHOR,rice,2026-02-03,yes,2.50,EUR,1,,b1,receipt,,,,\n"
		d, rejected, err := Read(files(other + strings.Join(row, ",") + "\n"))
		require.NoError(t, err, tt.name)
		require.Len(t, rejected, 1, tt.name)
		require.Equal(t, "reports.csv", rejected[0].File)
		require.Equal(t, 3, rejected[0].Line, tt.name)
		require.Equal(t, reportColumns[tt.at], rejected[0].Column, tt.name)
		require.Equal(t, row[tt.at], rejected[0].Found, tt.name)
		require.NotEmpty(t, rejected[0].Expected, tt.name)
		require.Len(t, d.Reports, 1, tt.name)
	}
}

func TestDuplicates(t *testing.T) {
	t.Parallel()
	row := func(n int, amount string) string {
		return id(n) + ",PTHOR,rice,2026-02-03,yes," + amount + ",EUR,1,,b1,receipt,,,,\n"
	}
	d, rejected, err := Read(files(row(1, "2.5") + row(2, "3") + row(1, "2.50") + row(3, "4") + row(3, "5") + row(3, "4")))
	require.NoError(t, err)
	require.Len(t, d.Reports, 2)
	require.Equal(t, []int{5, 6, 7}, lines(rejected))
}

func lines(rs []Rejection) (out []int) {
	for _, r := range rs {
		out = append(out, r.Line)
	}
	return out
}

func TestReplacements(t *testing.T) {
	t.Parallel()
	row := func(n int, who string, replaces int) string {
		of := ""
		if replaces > 0 {
			of = id(replaces)
		}
		return id(n) + ",PTHOR,rice,2026-02-03,yes,2.50,EUR,1,," + who + ",receipt,,,," + of + "\n"
	}
	bad := id(1) + ",PTHOR,rice,2026-02-03,yes,0,EUR,1,,a,receipt,,,,\n"
	for _, tt := range []struct {
		name, rows string
		rejected   []int
	}{
		{"a chain, in any order", row(3, "a", 2) + row(2, "a", 1) + row(1, "a", 0), nil},
		{"two of one", row(1, "a", 0) + row(2, "a", 1) + row(3, "a", 1), nil},
		{"unknown", row(1, "a", 0) + row(2, "a", 7), []int{3}},
		{"another's", row(1, "a", 0) + row(2, "b", 1), []int{3}},
		{"itself", row(1, "a", 1) + row(2, "a", 0), []int{2}},
		{"a circle of two", row(1, "a", 2) + row(2, "a", 1) + row(3, "a", 0), []int{2, 3}},
		{"a circle of three and one that hangs on it", row(4, "a", 1) + row(1, "a", 2) + row(2, "a", 3) + row(3, "a", 1), []int{2, 3, 4, 5}},
		{"of a rejected row", bad + row(2, "a", 1), []int{2, 3}},
		{"of another's after a circle", row(1, "a", 1) + row(2, "b", 0) + row(3, "a", 0) + row(4, "a", 1) + row(5, "a", 2), []int{2, 5, 6}},
		{"of a rejected replacement", row(1, "a", 0) + row(2, "b", 1) + row(3, "b", 2), []int{3, 4}},
	} {
		_, rejected, err := Read(files(tt.rows))
		require.NoError(t, err, tt.name)
		require.Equal(t, tt.rejected, lines(rejected), tt.name)
	}
}

func TestBadHeadersRefuseTheDataset(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"ports.csv", "items.csv", "rates.csv", "reports.csv"} {
		f := files("")
		f[name] = &fstest.MapFile{Data: append([]byte("colour,"), f[name].Data...)}
		d, _, err := Read(f)
		require.ErrorIs(t, err, ErrRefused, name)
		require.ErrorContains(t, err, "colour")
		require.Zero(t, d)
		delete(f, name)
		_, _, err = Read(f)
		require.ErrorIs(t, err, fs.ErrNotExist, name)
	}
}

func TestPortsAndItemsAreChecked(t *testing.T) {
	t.Parallel()
	f := files("")
	f["ports.csv"] = &fstest.MapFile{Data: []byte(portsFile + ",No id,PT,,\nA,A,pt,,\nB,B,PT,91,0\nC,C,PT,1,\nPTHOR,Other,PT,,\n")}
	f["items.csv"] = &fstest.MapFile{Data: []byte(itemsFile + ",x,c,kg,1\na,x,c,lb,1\nb,x,c,kg,0\nrice,Rice,staple,kg,1.0\n")}
	d, rejected, err := Read(f)
	require.NoError(t, err)
	require.Equal(t, []pricing.PortID{"CVMIN"}, []pricing.PortID{d.Ports[0].ID})
	require.Len(t, d.Ports, 1, "both rows of the contradicted port are gone")
	require.Len(t, d.Items, 3)
	var got []string
	for _, r := range rejected {
		got = append(got, fmt.Sprintf("%s:%d:%s", r.File, r.Line, r.Column))
	}
	require.Equal(t, []string{
		"ports.csv:2:port", "ports.csv:4:port", "ports.csv:5:country", "ports.csv:6:latitude", "ports.csv:7:longitude", "ports.csv:8:port",
		"items.csv:5:item", "items.csv:6:unit", "items.csv:7:list_pack",
	}, got)
}

func TestImportKnowsTodayAndWhatIsThere(t *testing.T) {
	t.Parallel()
	d, _, err := Read(files(""))
	require.NoError(t, err)
	ctx := Context{
		File: "mine.csv", Port: d.hasPort(), Item: d.hasItem(), Rates: d.Rates, Last: day("2026-02-03"),
		Known: func(s string) (pricing.Report, bool) {
			return pricing.Report{ID: s, Reporter: "b1"}, s == id(7)
		},
		Nearest: func(column, text string) []string { return []string{column + " like " + text} },
	}
	p, err := ParseReports(strings.NewReader(header+
		id(1)+",PTHOR,rice,2026-02-04,yes,2.50,EUR,1,,b1,receipt,,,,\n"+
		id(2)+",PTHOR,rice,2026-02-03,yes,2.50,EUR,1,,b1,receipt,,,,"+id(7)+"\n"+
		id(3)+",PTHOR,rice,2026-02-03,yes,2.50,EUR,1,,b1,receipt,,,,"+id(8)+"\n"+
		id(4)+",PTHOR,ryce,2026-02-03,yes,2.50,EUR,1,,b1,receipt,,,,\n"), ctx)
	require.NoError(t, err)
	require.Equal(t, []int{3}, p.Lines)
	require.Equal(t, id(2), p.Reports[0].ID)
	require.Equal(t, []int{2, 4, 5}, lines(p.Rejected))
	require.Contains(t, p.Rejected[0].Expected, "2026-02-03 at the latest")
	require.Contains(t, p.Rejected[2].Expected, "nearest: item like ryce")
}

type buffer struct{ bytes.Buffer }

func (*buffer) Close() error { return nil }

func TestWhatIsWrittenIsReadBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(r *rapid.T) {
		want, _, err := Read(files(drawRows(r)))
		require.NoError(r, err)
		written := map[string]*buffer{}
		require.NoError(r, Write(want, func(name string) (io.WriteCloser, error) {
			written[name] = &buffer{}
			return written[name], nil
		}))
		again := fstest.MapFS{}
		for name, b := range written {
			again[name] = &fstest.MapFile{Data: b.Bytes()}
		}
		got, rejected, err := Read(again)
		require.NoError(r, err)
		require.Empty(r, rejected)
		if len(want.Reports) == 0 {
			want.Reports, got.Reports = nil, nil
		}
		require.Equal(r, want, got)
	})
}

func drawRows(r *rapid.T) string {
	var b strings.Builder
	for n := range rapid.IntRange(0, 12).Draw(r, "n") {
		found := rapid.SampledFrom([]string{"yes", "none", "cheap", ""}).Draw(r, "found")
		paid := ",,"
		if found == "yes" {
			paid = rapid.StringMatching(`[0-9]{1,4}(\.[0-9]{1,3})?`).Draw(r, "amount") + ",EUR," + rapid.StringMatching(`[0-9]{1,2}(\.[0-9]{1,6})?`).Draw(r, "pack")
		}
		replaces := ""
		if k := rapid.IntRange(-6, 12).Draw(r, "replaces"); k >= 0 {
			replaces = id(k)
		}
		note := rapid.SampledFrom([]string{"", `"a ""b"" c"`, "\"x\ny\"", "é"}).Draw(r, "note")
		fmt.Fprintf(&b, "%s,PTHOR,rice,2026-02-0%d,%s,%s,shop,b%d,memory,,,%s,%s\n", id(n), 1+n%9, found, paid, n%2, note, replaces)
	}
	return b.String()
}

func FuzzReports(f *testing.F) {
	f.Add(header + id(1) + ",PTHOR,rice,2026-02-03,yes,2.50,EUR,1,,b1,receipt,,,,\n")
	f.Add(header + id(1) + ",PTHOR,rice,2026-02-03,yes,2.50,EUR,1,\"x\n,b1,receipt,,,," + id(1) + "\n")
	f.Add("report\n")
	d, _, err := Read(files(""))
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, text string) {
		ctx := Context{File: "f.csv", Port: d.hasPort(), Item: d.hasItem(), Rates: d.Rates}
		p, err := ParseReports(strings.NewReader(text), ctx)
		if err != nil {
			return
		}
		require.Len(t, p.Lines, len(p.Reports))
		for _, r := range p.Reports {
			require.Equal(t, r.Found == pricing.FoundYes, r.Paid.Minor > 0)
			require.Equal(t, r.Found == pricing.FoundYes, r.Pack > 0)
		}
	})
}

func TestEstimatesAndPairs(t *testing.T) {
	t.Parallel()
	d, _, err := Read(files(""))
	require.NoError(t, err)
	pairs, rejected, err := ReadPairs(strings.NewReader("item,day,port\nrice,2026-02-03,PTHOR\nrice,x,PTHOR\nrice,2026-02-03,P\nr,2026-02-03,PTHOR\n"), "pairs.csv", d)
	require.NoError(t, err)
	require.Equal(t, []Pair{{"PTHOR", "rice", day("2026-02-03")}}, pairs)
	require.Equal(t, []int{3, 4, 5}, lines(rejected))
	var b bytes.Buffer
	require.NoError(t, WriteEstimates(&b, pairs, []pricing.Estimate{{
		Price: 1234.5678, Low80: 0.00012345678, High80: 2e6, Available: 0.5, Evidence: 0, Newest: day("2026-01-01"), Basis: pricing.BasisGuess,
	}}))
	require.Equal(t, "port,item,day,price,low80,high80,available,evidence,newest,basis\n"+
		"PTHOR,rice,2026-02-03,1234.57,0.000123457,2000000,0.500000,0,2026-01-01,all\n", b.String())
}
