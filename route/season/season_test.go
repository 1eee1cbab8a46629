package season

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
	"hardtack/route/plan/instance"
)

func habitsOf(t testing.TB, b plan.Brief) map[string]Habit {
	t.Helper()
	habits, err := Habits(b)
	require.NoError(t, err)
	require.Len(t, habits, 3)
	named := map[string]Habit{}
	for _, h := range habits {
		require.NoError(t, plan.Verify(b, h.Plan), h.Name)
		named[h.Name] = h
	}
	return named
}

func TestHabitsKeepEveryRule(t *testing.T) {
	t.Parallel()
	for size, seeds := range map[instance.Size]uint64{instance.Tiny: 200, instance.Small: 60, instance.Season: 6} {
		for seed := range seeds {
			t.Run(fmt.Sprint(size, seed), func(t *testing.T) {
				t.Parallel()
				habitsOf(t, instance.Random(seed, size, seed%2 == 1))
			})
		}
	}
}

// No habit beats a proven optimum; see testdata/instances/README.md.
func TestHabitsCostAtLeastTheOptimum(t *testing.T) {
	t.Parallel()
	for name, optimum := range map[string]float64{
		"tiny-101": 166.994885, "tiny-102": 599.451753, "tiny-103": 279.266578, "small-104": 1463.935484,
	} {
		data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "instances", name+".json"))
		require.NoError(t, err)
		var b plan.Brief
		require.NoError(t, json.Unmarshal(data, &b))
		for _, h := range habitsOf(t, b) {
			require.GreaterOrEqual(t, h.Plan.Cost.Total, optimum, "%s %s", name, h.Name)
			t.Logf("%s %-10s spent %.2f shortage %.2f total %.2f optimum %.2f", name, h.Name, h.Spent, h.Shortage,
				h.Plan.Cost.Total, optimum)
		}
	}
}
