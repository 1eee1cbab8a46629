package instance

// kind is a sort of need with its items; invented, of plausible size.
type kind struct {
	name  string
	daily float64 // need-units a day at sea
	items []sort
}

// sort is an item of a kind.
type sort struct {
	name       string
	yield      float64 // need-units per item-unit
	taste      float64 // share of its price per need-unit the crew would pay to eat the first choice
	price      float64 // per item-unit at a port of level 1
	litres, kg float64 // per item-unit
	fresh      bool    // what strict stops take
	keeps      []life
}

type life struct {
	space string
	days  float64
}

var spaces = []string{"dry", "cool", "fridge", "freezer"}

func dry(days float64) life     { return life{"dry", days} }
func cool(days float64) life    { return life{"cool", days} }
func fridge(days float64) life  { return life{"fridge", days} }
func freezer(days float64) life { return life{"freezer", days} }

// alternates are needs that several items serve, the first choice first.
var alternates = []kind{
	{"fruit", 0.25, []sort{
		{"soft", 1, 0, 3.5, 2.3, 1.02, true, []life{cool(5), fridge(10)}},
		{"hardy", 1, 0.12, 3, 2.2, 1.02, true, []life{cool(27), fridge(55)}},
		{"tinned", 0.9, 0.5, 4, 1.2, 1.25, false, []life{dry(540)}}}},
	{"milk", 0.45, []sort{
		{"fresh", 1, 0, 1.2, 1.2, 1.04, true, []life{fridge(8)}},
		{"longlife", 1, 0.2, 1.3, 1.2, 1.07, false, []life{dry(140), cool(180)}},
		{"powder", 8, 0.5, 9, 2.1, 1.1, false, []life{dry(380)}}}},
	{"greens", 0.2, []sort{
		{"leaf", 1, 0, 3, 4.2, 1.02, true, []life{cool(5), fridge(9)}},
		{"cabbage", 1, 0.25, 1.6, 2, 1.02, true, []life{cool(26), fridge(45)}},
		{"tinned", 0.9, 0.6, 3, 1.1, 1.25, false, []life{dry(520)}}}},
	{"bread", 0.28, []sort{
		{"loaf", 1, 0, 2.6, 3.6, 1.02, false, []life{dry(5), freezer(45)}},
		{"flour", 1.3, 0.3, 1.2, 1.8, 1.02, false, []life{dry(240)}}}},
	{"protein", 0.3, []sort{
		{"fresh", 1, 0, 9, 1.2, 1.05, true, []life{fridge(5), freezer(120)}},
		{"cured", 1.2, 0.15, 13, 1.2, 1.1, true, []life{cool(55), fridge(90)}},
		{"tinned", 0.9, 0.4, 8, 1.2, 1.3, false, []life{dry(540), cool(540)}}}},
	{"eggs", 0.12, []sort{
		{"shell", 1, 0, 3.5, 1.9, 1.1, true, []life{cool(26), fridge(48)}},
		{"dried", 4, 0.6, 18, 2.5, 1.05, false, []life{dry(360)}}}},
}

// singles are needs that one item serves.
var singles = []kind{
	{"grain", 0.25, []sort{{"grain", 1, 0, 1.8, 1.3, 1.03, false, []life{dry(240)}}}},
	{"baking", 0.2, []sort{{"flour", 1, 0, 1.2, 1.8, 1.02, false, []life{dry(150), cool(210)}}}},
	{"pulse", 0.12, []sort{{"pulse", 1, 0, 3, 1.3, 1.02, false, []life{dry(540)}}}},
	{"roots", 0.3, []sort{{"roots", 1, 0, 1.5, 1.9, 1.02, true, []life{dry(21), cool(45)}}}},
	{"salad", 0.08, []sort{{"leaf", 1, 0, 4, 4.3, 1.02, true, []life{cool(5), fridge(8)}}}},
	{"cheese", 0.06, []sort{{"cheese", 1, 0, 11, 1.15, 1.03, true, []life{cool(20), fridge(60)}}}},
	{"butter", 0.04, []sort{{"butter", 1, 0, 8, 1.2, 1.02, false, []life{fridge(55), freezer(200)}}}},
	{"snack", 0.1, []sort{{"snack", 1, 0, 7, 3.1, 1.1, false, []life{dry(90), cool(120)}}}},
	{"drink", 0.9, []sort{{"drink", 1, 0, 1, 1.05, 1.06, false, []life{dry(200), cool(260)}}}},
	{"jar", 0.05, []sort{{"jar", 1, 0, 7, 1.2, 1.5, false, []life{dry(365)}}}},
	{"frozen", 0.12, []sort{{"frozen", 1, 0, 8, 1.7, 1.02, false, []life{freezer(150)}}}},
	{"meat", 0.2, []sort{{"meat", 1, 0, 11, 1.2, 1.05, true, []life{fridge(5), freezer(120)}}}},
	{"paper", 0.03, []sort{{"paper", 1, 0, 5, 6.5, 1.1, false, []life{dry(540)}}}},
}

// kinds draws the needs of a brief: so many with alternates, in any order.
func (m *maker) kinds() []kind {
	var drawn []kind
	for i := range m.Needs {
		from := singles
		if i < m.Alternates {
			from = alternates
		}
		drawn = append(drawn, from[m.IntN(len(from))])
	}
	m.Shuffle(len(drawn), func(i, j int) { drawn[i], drawn[j] = drawn[j], drawn[i] })
	return drawn
}
