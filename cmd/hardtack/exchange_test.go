package main

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestReportsByFile(t *testing.T) {
	t.Parallel()
	a, b := user(t), user(t)
	a.ok("report", "ESLPA", "rice_white", "--paid", "1,85")
	a.ok("report", "ESLPA", "honey", "--none")
	file := filepath.Join(a.home, "mail.records")
	require.Contains(t, a.ok("exchange", "write", file, "--for", "Ada"), "2 reports")
	require.Contains(t, b.ok("exchange", "read", file), "2 fetched")
	require.Contains(t, b.ok("exchange", "read", file), "2 were known")
	require.Equal(t, a.ok("exchange", "state"), b.ok("exchange", "state"))

	require.Contains(t, a.ok("exchange", "write", file, "--for", "Ada"), "0 reports", "goes on after the last file")
	require.Contains(t, a.ok("exchange", "write", file), "2 reports")
	require.Contains(t, b.ok("exchange", "write", file), "0 reports", "nothing was entered here")
	require.Contains(t, b.ok("exchange", "write", file, "--all"), "2 reports")

	bad := b.run("exchange", "read", b.file("bad.records", "hardtack records 1\n"+strings.Repeat("x", 500)))
	require.Equal(t, exitRefused, bad.code, bad.err)
	none := b.run("exchange", "boat")
	require.Equal(t, exitUsage, none.code, none.err)
}
