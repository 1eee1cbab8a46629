package dbtest

import (
	"fmt"
	"os"
	"testing"
	"time"
)

// Drilling says whether this is `make drill`, the long form of the drills.
func Drilling() bool { return os.Getenv("DRILL") != "" }

// Rounds is how often a drill is to repeat: few in every run of the tests, many
// under `make drill`.
func Rounds(_ testing.TB, few, many int) int {
	if Drilling() {
		return many
	}
	return few
}

// Figure prints what a drill measured, as a row of the table in DEVELOPERS.md.
func Figure(t testing.TB, goal, what, figure string, a ...any) {
	t.Helper()
	t.Logf("| %s | %s | %s | %s |", time.Now().UTC().Format(time.DateOnly), goal, what, fmt.Sprintf(figure, a...))
}
