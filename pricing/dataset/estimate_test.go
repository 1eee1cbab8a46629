package dataset

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

// season is sixty reports from two ports, Mindelo a fifth dearer.
func season() fstest.MapFS {
	rng := rand.New(rand.NewPCG(1, 1))
	var b strings.Builder
	for n := range 60 {
		port, price, currency := "PTHOR", 2.0, "EUR"
		if n%2 == 1 {
			port, price, currency = "CVMIN", 2.4*110.265, "CVE"
		}
		item := []string{"rice", "milk"}[n/2%2]
		fmt.Fprintf(&b, "%s,%s,%s,2026-0%d-%02d,yes,%.2f,%s,1,,b%d,receipt,,,,\n",
			id(n), port, item, 1+n/20, 1+n%20, price*(1+0.05*rng.NormFloat64()), currency, n%7)
	}
	return files(b.String())
}

func run(t *testing.T, f fstest.MapFS, a Ask) (Answer, [][]string) {
	t.Helper()
	var out bytes.Buffer
	a.Out = &out
	answer, err := Estimate(f, a)
	require.NoError(t, err)
	rows, err := csv.NewReader(&out).ReadAll()
	require.NoError(t, err)
	return answer, rows
}

func TestEveryPairGetsAnAnswer(t *testing.T) {
	t.Parallel()
	answer, rows := run(t, season(), Ask{})
	require.Equal(t, "2026-03-20", answer.Day.String())
	require.Equal(t, 6, answer.Estimates)
	require.Len(t, rows, 7)
	price := map[string]float64{}
	for _, r := range rows[1:] {
		low, mid, high := number(t, r[4]), number(t, r[3]), number(t, r[5])
		require.True(t, 0 < low && low < mid && mid < high, r)
		require.Contains(t, []string{"cell", "port", "country", "all"}, r[9])
		price[r[0]+" "+r[1]] = mid
	}
	require.InDelta(t, 2.0, price["PTHOR rice"], 0.1)
	require.InDelta(t, 2.4, price["CVMIN milk"], 0.1)
	require.Greater(t, price["CVMIN egg"], price["PTHOR egg"], "the port tells of an item nobody reported")
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return x
}

// A report later than the day asked for changes nothing about it.
func TestTheFutureIsNotUsed(t *testing.T) {
	t.Parallel()
	pairs := "port,item,day\nPTHOR,rice,2026-02-10\nCVMIN,milk,2026-02-10\n"
	_, want := run(t, season(), Ask{Pairs: strings.NewReader(pairs)})
	f := season()
	f["reports.csv"].Data = append(f["reports.csv"].Data, []byte(
		id(90)+",PTHOR,rice,2026-02-11,yes,900,EUR,1,,b1,receipt,,,,\n"+
			id(91)+",PTHOR,rice,2026-02-11,none,,,,,b1,shelf,,,,\n"+
			id(92)+",PTHOR,rice,2026-02-11,,,,,,b0,,,,,"+id(0)+"\n")...)
	_, got := run(t, f, Ask{Pairs: strings.NewReader(pairs)})
	require.Equal(t, want, got)
	require.Equal(t, "2026-02-09", got[1][8], "the newest standing price there")
}

func TestTheOrderOfRowsNeverMatters(t *testing.T) {
	t.Parallel()
	_, want := run(t, season(), Ask{})
	f := season()
	rng := rand.New(rand.NewPCG(2, 2))
	for name, file := range f {
		rows := strings.SplitAfter(strings.TrimSuffix(string(file.Data), "\n")+"\n", "\n")
		rows = rows[:len(rows)-1]
		rng.Shuffle(len(rows)-1, func(i, j int) { rows[1+i], rows[1+j] = rows[1+j], rows[1+i] })
		f[name].Data = []byte(strings.Join(rows, ""))
	}
	_, got := run(t, f, Ask{})
	require.ElementsMatch(t, want, got)
}

func TestRejectedAndQuestionedAreWritten(t *testing.T) {
	t.Parallel()
	f := season()
	f["reports.csv"].Data = append(f["reports.csv"].Data, []byte(
		id(90)+",PTHOR,rice,2026-03-18,yes,20.00,EUR,1,,b5,receipt,,,,\n"+
			id(91)+",PTHOR,rice,2026-03-18,yes,-1,EUR,1,,b5,receipt,,,,\n")...)
	var rejected, questioned bytes.Buffer
	answer, rows := run(t, f, Ask{Rejected: &rejected, Questioned: &questioned})
	require.Len(t, answer.Rejected, 1)
	require.Equal(t, "file,line,column,found,expected\nreports.csv,63,amount,-1,\"a decimal number above 0, as EUR is paid\"\n", rejected.String())
	require.Equal(t, "report,reason,suggestion\n"+id(90)+",decimal,amount 2.00 EUR?\n", questioned.String())
	for _, r := range rows {
		if r[0] == "PTHOR" && r[1] == "rice" {
			require.InDelta(t, 2.0, number(t, r[3]), 0.1, "what is held back moves nothing")
		}
	}
}

func TestEvaluatePrintsScores(t *testing.T) {
	t.Parallel()
	answer, rows := run(t, season(), Ask{Evaluate: true})
	require.NotNil(t, answer.Evaluation)
	require.Equal(t, []string{"part", "pairs", "estimator", "rmse_log", "mae_log", "coverage80", "crps_log"}, rows[0])
	require.Equal(t, []string{"all", "12", "model"}, rows[1][:3])
	_, err := Estimate(files(""), Ask{Evaluate: true, Out: io.Discard})
	require.ErrorContains(t, err, "too few")
}

func TestADatasetWithoutReportsAnswersToo(t *testing.T) {
	t.Parallel()
	answer, rows := run(t, files(""), Ask{Day: day("2026-05-01")})
	require.Equal(t, 6, answer.Estimates)
	for _, r := range rows[1:] {
		require.Greater(t, number(t, r[5])/number(t, r[4]), 10.0, "an answer that says how thin it is")
		require.Equal(t, "all", r[9])
	}
}
