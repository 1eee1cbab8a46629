package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Lines of a run of CBC 2.10.8, cut.
const cbcLog = `Continuous objective value is 1350.5 - 0.05 seconds
Cbc0012I Integer solution of 1431.5 found by feasibility pump after 0 iterations and 0 nodes (3.17 seconds)
Cbc0014I Cut generator 5 (FlowCover) - 30 row cuts average 3.3 elements in 0.033 seconds - new frequency is -100
Cbc0010I After 1000 nodes, 444 on tree, 1418.0347 best solution, best possible 1401.9822 (10.23 seconds)
Cbc0012I Integer solution of 1418.0246 found by rounding after 91816 iterations and 3400 nodes (21.10 seconds)
Cbc0010I After 9000 nodes, 2096 on tree, 1418.0107 best solution, best possible 1402.5 (68.44 seconds)

Result - Stopped on time limit

Objective value:                1418.00102
Lower bound:                    1403.125
Time (CPU seconds):             300.34
`

func TestStanding(t *testing.T) {
	t.Parallel()
	require.Equal(t, []stand{{"-", "-"}, {"1431.5", "-"}, {"1418.0246", "1401.9822"}, {"1418.00102", "1403.125"}},
		standing(cbcLog, []float64{1, 10, 60, 300}))
	require.Equal(t, []stand{{"600.3", "600.3"}}, standing("Objective value:                600.3\n", []float64{10}), "solved")
	require.Equal(t, []stand{{"-", "-"}}, standing("", []float64{10}))
}
