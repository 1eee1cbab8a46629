package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/pricing/estimate"
)

const someID = "7f1d2a54-0c9b-4c1e-9d57-5a2f3b6c8e10"

func TestReports(t *testing.T) {
	t.Parallel()
	u := user(t)
	require.Contains(t, u.ok("report", "ESLPA", "rice_white", "--paid", "1,85", "--pack", "1 kg", "--id", someID), "1 new")
	require.Contains(t, u.ok("report", "ESLPA", "rice_white", "--paid", "1,85", "--pack", "1 kg", "--id", someID), "1 there already")
	r := u.run("report", "ESLPA", "rice_white", "--paid", "9", "--pack", "1 kg", "--id", someID)
	require.Equal(t, exitConflict, r.code, r.err)

	u.ok("report", "ESLPA", "honey", "--none")
	u.ok("report", "CVMIN", "milk_uht", "--dear")
	u.ok("report", "ESLPA", "rice_white", "--paid", "1.80", "--replaces", someID)
	require.Contains(t, u.ok("report", "questioned"), "No report is held back")
	list := u.ok("report", "list")
	require.Contains(t, list, "1.85 EUR for 1 kg")
	require.Contains(t, list, "dear")
	require.NotContains(t, u.ok("report", "list", "--port", "CVMIN"), "rice_white")
	require.Contains(t, u.ok("estimate", "ESLPA", "rice_white"), "rests on")

	var done api.Recorded
	require.NoError(t, json.Unmarshal([]byte(u.ok("--json", "report", "CVMIN", "rice_white", "--paid", "140")), &done))
	u.ok("report", "withdraw", done.IDs[0])
	require.Contains(t, u.ok("report", "list"), "takes back "+done.IDs[0])
}

func TestReceipt(t *testing.T) {
	t.Parallel()
	u := user(t)
	receipt := `{"port":"ESLPA","day":"2026-09-01","currency":"EUR","shop":"market hall","lines":[
{"item":"rice_white","amount":"1.85","pack":"1 kg"},{"item":"potato","amount":"3","pack":"2 kg"}]}`
	require.Contains(t, u.ok("report", "receipt", u.file("r.json", receipt)), "2 new")
	r := u.run("report", "receipt", u.file("r2.json", replaced(t, receipt, "potato", "potatoe")))
	require.Equal(t, exitUsage, r.code)
	require.Contains(t, r.err, "lines[1].item")
	require.NotContains(t, u.ok("report", "list"), "2 kg for 3\n")
}

func TestBadReports(t *testing.T) {
	t.Parallel()
	u := user(t)
	for _, tt := range []struct {
		name string
		args []string
		code int
		says string
	}{
		{"unknown port", []string{"Funchl", "rice_white", "--paid", "1", "--currency", "EUR"}, exitUsage, "x-funchal"},
		{"unknown item", []string{"ESLPA", "rise_white", "--paid", "1", "--pack", "1 kg"}, exitUsage, "rice_white"},
		{"wrong unit", []string{"ESLPA", "rice_white", "--paid", "1", "--pack", "1 l"}, exitUsage, "pack"},
		{"currency unknown", []string{"ESLPA", "rice_white", "--paid", "1", "--currency", "XXQ"}, exitUsage, "XXQ"},
		{"not a number", []string{"ESLPA", "rice_white", "--paid", "NaN"}, exitUsage, "NaN"},
		{"negative", []string{"ESLPA", "rice_white", "--paid=-1"}, exitUsage, "-1"},
		{"future day", []string{"ESLPA", "rice_white", "--paid", "1", "--day", "2026-10-01"}, exitUsage, "2026-10-01"},
		{"both price and none", []string{"ESLPA", "rice_white", "--paid", "1", "--none"}, exitUsage, "--none"},
		{"nothing found", []string{"ESLPA", "rice_white"}, exitUsage, "--paid"},
		{"a report that is not there", []string{"withdraw", someID}, exitNotFound, someID},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := u.run(append([]string{"report"}, tt.args...)...)
			require.Equal(t, tt.code, r.code, r.err)
			require.Contains(t, r.err, tt.says)
		})
	}
	require.Contains(t, u.ok("report", "list"), "No such reports")
}

// Ten thousand rows, 37 of them bad: each is told by its line, and the good
// ones are only taken when asked to.
func TestImportTellsEveryBadRow(t *testing.T) {
	t.Parallel()
	u := user(t)
	bad := map[int]bool{}
	for k := range 37 {
		bad[100+k*250] = true
	}
	var b strings.Builder
	b.WriteString("report,port,item,day,found,amount,currency,pack,shop,reporter,source,quality,origin,note,replaces\n")
	for k := range 10_000 {
		amount := "1.85"
		if bad[k] {
			amount = "-1.85"
		}
		fmt.Fprintf(&b, "00000000-0000-4000-8000-%012d,ESLPA,rice_white,2026-08-01,yes,%s,EUR,1,,boat-1,receipt,,,,\n", k, amount)
	}
	file, rejected := u.file("reports.csv", b.String()), filepath.Join(u.home, "rejected.csv")

	r := u.run("import", file, "--rejected", rejected)
	require.Equal(t, exitRefused, r.code, r.err)
	require.Contains(t, r.err, "line 102")
	require.Contains(t, u.ok("report", "list"), "No such reports", "nothing is half-written")
	told, err := os.ReadFile(rejected)
	require.NoError(t, err)
	require.Equal(t, 38, strings.Count(string(told), "\n"), "a header and 37 rows")

	r = u.run("import", file, "--skip-bad")
	require.Equal(t, exitRejected, r.code, r.err)
	require.Contains(t, r.out, "9963 rows taken: 9963 new")
	require.Contains(t, u.run("import", file, "--skip-bad").out, "0 new, 9963 there already")

	r = u.run("import", u.file("odd.csv", "report,harbour\n"))
	require.Equal(t, exitRefused, r.code, r.err)
}

func TestEstimateDataset(t *testing.T) {
	t.Parallel()
	u := user(t)
	dir := filepath.Join(u.home, "data")
	require.NoError(t, os.Mkdir(dir, 0o700))
	u.file("data/ports.csv", "port,name,country,latitude,longitude\nA,Aa,PT,,\nB,Bb,PT,,\n")
	u.file("data/items.csv", "item,name,category,unit,list_pack\nrice,Rice,staple,kg,1\nbeans,Beans,pulse,kg,0.5\n")
	u.file("data/rates.csv", "currency,day,per_reference\nEUR,2026-01-01,1\n")
	reports := "report,port,item,day,found,amount,currency,pack,shop,reporter,source,quality,origin,note,replaces\n"
	for k := range 8 {
		reports += fmt.Sprintf("00000000-0000-4000-8000-%012d,A,rice,2026-08-%02d,yes,2.00,EUR,1,,r%d,receipt,,,,\n", k, k+1, k)
	}
	u.file("data/reports.csv", reports)

	out := u.ok("estimate", "--dataset", dir)
	require.True(t, strings.HasPrefix(out, "port,item,day,price,low80,high80,available,evidence,newest,basis\n"))
	require.Equal(t, 5, strings.Count(out, "\n"), "every port and item")
	require.Contains(t, out, "A,rice,2026-08-08,2.00", "eight receipts of 2.00, and the newest report's day")

	pairs := u.file("pairs.csv", "port,item,day\nB,beans,2026-09-01\n")
	require.Contains(t, u.ok("estimate", "--dataset", dir, "--pairs", pairs), "B,beans,2026-09-01")

	rejected := filepath.Join(u.home, "rejected.csv")
	u.file("data/reports.csv", reports+"x,A,rice,2026-08-09,yes,2.00,EUR,1,,r1,receipt,,,,\n")
	r := u.run("estimate", "--dataset", dir, "--rejected", rejected)
	require.Equal(t, exitRejected, r.code)
	require.Contains(t, r.out, "A,rice,2026-08-08,2.00", "the others are used")
	told, err := os.ReadFile(rejected)
	require.NoError(t, err)
	require.Contains(t, string(told), "reports.csv,10,report")

	require.Equal(t, exitUsage, u.run("estimate", "--dataset", dir, "--evaluate").code, "too few to judge by")

	u.file("data/reports.csv", "report,port\n")
	require.Equal(t, exitRefused, u.run("estimate", "--dataset", dir).code)
	require.Equal(t, exitUsage, u.run("estimate", "--dataset", filepath.Join(u.home, "nowhere")).code)
	require.Equal(t, exitUsage, u.run("estimate").code)
}

func TestPortsAndItems(t *testing.T) {
	t.Parallel()
	u := user(t)
	require.Contains(t, u.ok("ports", "sao vicente")+u.ok("ports", "mindelo"), "CVMIN")
	require.Contains(t, u.ok("ports", "--near", "28.1,-15.4", "-n", "1"), "Las Palmas")
	require.Equal(t, exitUsage, u.run("ports", "--near", "NaN,0").code)
	require.Contains(t, u.ok("items", "rice"), "rice_white")

	u.ok("ports", "--add", u.file("p.json", `{"id":"x-our-cove","name":"Our Cove","country":"PT","zone":"EU",
"position":{"lat":38.6,"lon":-28.6},"size":"none"}`))
	require.Contains(t, u.ok("ports", "our cove"), "x-our-cove")
}

func TestEvaluate(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.demoFiles()
	out := u.ok("estimate", "--dataset", filepath.Join(u.home, "season"), "--evaluate")
	require.Contains(t, out, "coverage80")
	require.Contains(t, out, "all,")
}

// Reports invented at known ports can be imported and are believed; those who
// stand out are named.
func TestInventedReportsOfKnownPortsAreImported(t *testing.T) {
	t.Parallel()
	u := user(t)
	dir := filepath.Join(t.TempDir(), "known")
	require.Contains(t, u.ok("invent", dir, "--known", "--reports", "3000", "--liars", "0.2"), "all invented")
	require.Contains(t, u.ok("import", filepath.Join(dir, "reports.csv")), "rows taken")
	require.Contains(t, u.ok("estimate", "ESLPA", "rice_white"), "rests on")
	var who []estimate.Standout
	require.NoError(t, json.Unmarshal([]byte(u.ok("--json", "report", "standouts")), &who))
	require.NotEmpty(t, who)
	require.Contains(t, u.ok("report", "standouts"), who[0].Reporter)
	require.Contains(t, user(t).ok("report", "standouts"), "Nobody stands out")
}

// A file is taken in portions: what was taken before a bad row stays, and the
// same file put right goes on from there.
func TestImportInPortions(t *testing.T) {
	t.Parallel()
	u := user(t)
	row := func(n int, amount string) string {
		return fmt.Sprintf("00000000-0000-4000-8000-%012d,ESLPA,rice_white,2026-01-01,yes,%s,EUR,1,,r,receipt,,,,", n, amount)
	}
	header := "report,port,item,day,found,amount,currency,pack,shop,reporter,source,quality,origin,note,replaces"
	file := func(name, seventh string) string {
		lines := []string{header}
		for n := range 10 {
			lines = append(lines, row(n, map[bool]string{true: seventh, false: "1.85"}[n == 7]))
		}
		return u.file(name, strings.Join(lines, "\n")+"\n")
	}
	rejected := filepath.Join(t.TempDir(), "rejected.csv")
	r := u.run("import", file("bad.csv", "x"), "--portion", "3", "--rejected", rejected)
	why, err := os.ReadFile(rejected)
	require.NoError(t, err)
	require.Contains(t, string(why), ",9,amount,x,")
	require.Equal(t, exitRefused, r.code, r.err)
	require.Contains(t, r.err, "6 rows before were taken")
	require.Contains(t, r.err, "line 9")
	require.Contains(t, u.ok("import", file("good.csv", "1.85"), "--portion", "3"), "10 rows taken: 4 new, 6 there already; 0 rejected.")
	require.Contains(t, u.ok("import", file("good.csv", "1.85"), "--portion", "5", "--dry-run"), "nothing was written")
	r = u.run("import", file("bad.csv", "x"), "--portion", "4", "--skip-bad")
	require.Equal(t, exitRejected, r.code)
	require.Contains(t, r.out, "9 rows taken: 0 new, 9 there already; 1 rejected.")
	require.Equal(t, exitUsage, u.run("import", file("good.csv", "1"), "--portion", "-1").code)
}

// What others found wrong with goods is told with the price.
func TestPoorGoodsAreToldWithThePrice(t *testing.T) {
	t.Parallel()
	u := user(t)
	for n := range 4 {
		u.ok("report", "ESLPA", "rice_white", "--paid", "1.85", "--by", fmt.Sprint("b", n), "--quality", "2", "--origin", "BR", "--note", "weevils, paper bag")
		u.ok("report", "ESLPA", "rice_white", "--paid", "1.95", "--by", fmt.Sprint("c", n), "--quality", "5", "--origin", "TH", "--note", "see-through bag")
	}
	told := u.ok("estimate", "ESLPA", "rice_white")
	require.Contains(t, told, "4 of 8 reports from here call it poor")
	require.Contains(t, told, "origin BR: 4 of 4 reports from anywhere call it poor; TH is better")
	require.Contains(t, told, "packaging paper: 4 of 4 reports from anywhere call it poor; see-through is better")
	require.Contains(t, u.ok("--json", "estimate", "ESLPA", "rice_white"), `"lost": 0.1`)
}
