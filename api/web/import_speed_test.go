//go:build unix

package web

import (
	"fmt"
	"net/http"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"
)

// Ten thousand rows are looked at in two seconds of processor time. It runs
// alone, before what runs in parallel.
func TestTenThousandRowsAreLookedAtInTwoSeconds(t *testing.T) {
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	var file strings.Builder
	file.WriteString(csvHead)
	items := svc.World().Catalogue.Order
	for n := range 10_000 {
		id := uuid.NewSHA1(uuid.NameSpaceURL, fmt.Append(nil, "row ", n))
		it := svc.World().Catalogue.Items[items[n%len(items)]]
		fmt.Fprintf(&file, "%s,PTHOR,%s,2026-06-%02d,yes,%d.99,EUR,%v,,x,shelf,,,,\n", id, it.ID, 1+n%28, 1+n%9, it.ListPack.Units())
	}
	v.get(demoVoyage + "/import")
	began, before := time.Now(), processor(t)
	page := v.sendFile(demoVoyage+"/import", "reports.csv", file.String())
	took := processor(t) - before
	t.Logf("%v of processor time, %v by the clock", took, time.Since(began))
	require.Equal(t, http.StatusOK, page.status)
	require.Contains(t, page.body, "10000 new reports")
	require.Less(t, took, 2*time.Second)
}

func processor(t *testing.T) time.Duration {
	t.Helper()
	var u syscall.Rusage
	require.NoError(t, syscall.Getrusage(syscall.RUSAGE_SELF, &u))
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
