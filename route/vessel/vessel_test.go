package vessel

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
)

func day(s string) calendar.Day {
	d, err := calendar.Parse(s)
	if err != nil {
		panic(err)
	}
	return d
}

func ptr(x float64) *float64 { return &x }

func TestFillable(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name string
		give Space
		want float64
	}{
		{"a locker", Space{Kind: Dry, Litres: 100}, 65},
		{"a fridge", Space{Kind: Fridge, Litres: 80}, 60},
		{"a share of its own", Space{Kind: Dry, Litres: 100, Usable: 0.5}, 50},
		{"crates are what fits", Space{Kind: Dry, Crates: 3}, 114},
		{"bags are what fits", Space{Kind: Net, Bags: 2}, 36},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			require.InDelta(t, tt.want, tt.give.Fillable(), 1e-9)
		})
	}
}

func TestSpacesOfAKindAddUp(t *testing.T) {
	t.Parallel()
	v := Vessel{WaterTankL: 300, Spaces: []Space{
		{ID: "a", Kind: Dry, Litres: 100, TempC: ptr(20)},
		{ID: "b", Kind: Dry, Litres: 300, TempC: ptr(28)},
	}}
	require.InDelta(t, 260, v.Fillable(Dry), 1e-9)
	require.InDelta(t, 300, v.Fillable(Tank), 1e-9)
	require.False(t, v.Has(Fridge))
	temp, ok := v.Temp(Dry)
	require.True(t, ok)
	require.InDelta(t, 26, temp, 1e-9)
	kind, ok := v.KindOf("b")
	require.True(t, ok)
	require.Equal(t, Dry, kind)
}

func TestVesselFaultsNameTheirPath(t *testing.T) {
	t.Parallel()
	v := Vessel{Name: "x", WaterTankL: math.NaN(), Spaces: []Space{
		{ID: "a", Kind: "attic", Litres: -1}, {ID: "a", Kind: Dry, Usable: 1.2},
	}, Cylinders: []Cylinder{{Kg: 9, Full: 2}}}
	err := v.Validate()
	require.ErrorIs(t, err, ErrInvalid)
	for _, path := range []string{
		"spaces[0].kind", "spaces[0].litres", "spaces[1].id", "spaces[1].usable", "water_tank_l", "cylinders[0].full",
	} {
		require.ErrorContains(t, err, path+":")
	}
}

func TestCrewFaultsNameTheirPath(t *testing.T) {
	t.Parallel()
	c := Crew{Persons: []Person{
		{ID: "a", Age: -1, Sex: "x", MassKg: 1, Appetite: 9, Factors: map[string]float64{"tea": 1}},
		{ID: "a", Age: 30, Aboard: []Span{{From: day("2027-05-02"), To: day("2027-05-01")}}},
	}}
	err := c.Validate()
	require.ErrorIs(t, err, ErrInvalid)
	for _, path := range []string{
		"persons[0].age", "persons[0].sex", "persons[0].mass_kg", "persons[0].appetite",
		"persons[0].factors.tea", "persons[1].id", "persons[1].aboard[0]",
	} {
		require.ErrorContains(t, err, path+":")
	}
	require.ErrorIs(t, Crew{}.Validate(), ErrInvalid)
}

func TestEnergyNeed(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name     string
		person   Person
		activity Activity
		want     float64
		within   float64
	}{
		// FAO/WHO/UNU, Human energy requirements (2004), section 5.4.1, worked example.
		{"woman of 25, 55 kg, moderately active", Person{Age: 25, Sex: Female, MassKg: 55}, 1.85, 2410, 5},
		// Schofield 1985 × activity, computed from the published coefficients.
		{"man of 40, 80 kg", Person{Age: 40, Sex: Male, MassKg: 80}, 1.75, 3134, 0.5},
		{"woman of 40, 65 kg", Person{Age: 40, Sex: Female, MassKg: 65}, 1.75, 2404.1, 0.5},
		{"man of 25, 75 kg", Person{Age: 25, Sex: Male, MassKg: 75}, 1.85, 3369.7, 0.5},
		{"woman of 66, 65 kg", Person{Age: 66, Sex: Female, MassKg: 65}, 1.6, 1998.1, 0.5},
		{"man of 66, 78 kg", Person{Age: 66, Sex: Male, MassKg: 78}, 1.6, 2401.9, 0.5},
		{"boy of 14, 55 kg", Person{Age: 14, Sex: Male, MassKg: 55}, 1.8, 2935.7, 0.5},
		// FAO/WHO/UNU 2004, Table 4.2, from memory.
		{"boy of 2", Person{Age: 2.5, Sex: Male}, 0, 1125, 60},
		{"boy of 6", Person{Age: 6.5, Sex: Male}, 0, 1575, 80},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			require.InDelta(t, tt.want, tt.person.EnergyNeed(tt.activity), tt.within)
		})
	}
}

func TestUnsaidSexIsTheMean(t *testing.T) {
	t.Parallel()
	f := Person{Age: 35, Sex: Female}.EnergyNeed(0)
	m := Person{Age: 35, Sex: Male}.EnergyNeed(0)
	require.InDelta(t, (f+m)/2, Person{Age: 35}.EnergyNeed(0), 1e-9)
	// Sphere Handbook 2011 plans 2,100 kcal for a mixed population at light work;
	// a grown crew under sail needs more.
	require.Greater(t, (f+m)/2, 2100.0)
}

func TestFactor(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name     string
		person   Person
		appetite item.Appetite
		want     float64
	}{
		{"toddler's food", Person{Age: 2}, item.Food, 0.45},
		{"child's food", Person{Age: 6}, item.Food, 0.6},
		{"big child's food", Person{Age: 11}, item.Food, 0.8},
		{"teenager's food", Person{Age: 15}, item.Food, 1.1},
		{"adult's food", Person{Age: 40}, item.Food, 1},
		{"small eater", Person{Age: 40, Appetite: 0.8}, item.Food, 0.8},
		{"child's coffee", Person{Age: 9}, item.Coffee, 0},
		{"coffee drinker", Person{Age: 40, Factors: map[string]float64{"coffee": 2}}, item.Coffee, 2},
		{"teenager's wine", Person{Age: 17}, item.Alcohol, 0},
		{"toddler's nappies", Person{Age: 2}, item.Infant, 1},
		{"dry toddler", Person{Age: 2, Factors: map[string]float64{"infant": 0}}, item.Infant, 0},
		{"a soap each", Person{Age: 2}, item.Person, 1},
		{"a boat is nobody", Person{Age: 40}, item.Vessel, 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			require.InDelta(t, tt.want, tt.person.Factor(tt.appetite), 1e-9)
		})
	}
}

func TestDaysAboard(t *testing.T) {
	t.Parallel()
	start := day("2027-05-01")
	for _, tt := range []struct {
		name     string
		spans    []Span
		from, to float64
		want     float64
	}{
		{"no span is the whole voyage", nil, 2, 5.5, 3.5},
		{"leaves in mid-leg", []Span{{To: day("2027-05-04")}}, 2, 10, 2},
		{"joins in mid-stay", []Span{{From: day("2027-05-04")}}, 2, 10, 7},
		{"away between", []Span{{To: day("2027-05-02")}, {From: day("2027-05-06")}}, 0, 10, 7},
		{"overlapping spans count once", []Span{{To: day("2027-05-04")}, {From: day("2027-05-03")}}, 0, 10, 10},
		{"gone before", []Span{{To: day("2027-05-02")}}, 5, 10, 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			require.InDelta(t, tt.want, Person{Aboard: tt.spans}.DaysAboard(start, tt.from, tt.to), 1e-9)
		})
	}
}

func TestDaysAboardAddUpOverAnyCut(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var p Person
		for range rapid.IntRange(0, 3).Draw(t, "spans") {
			from := calendar.Day(rapid.IntRange(20000, 20050).Draw(t, "from"))
			p.Aboard = append(p.Aboard, Span{From: from, To: from + calendar.Day(rapid.IntRange(0, 20).Draw(t, "length"))})
		}
		a := rapid.Float64Range(-5, 60).Draw(t, "a")
		b := a + rapid.Float64Range(0, 30).Draw(t, "b")
		c := b + rapid.Float64Range(0, 30).Draw(t, "c")
		const start = 20010
		whole := p.DaysAboard(start, a, c)
		require.InDelta(t, whole, p.DaysAboard(start, a, b)+p.DaysAboard(start, b, c), 1e-6)
		require.LessOrEqual(t, whole, c-a+1e-9)
	})
}

func TestRefuses(t *testing.T) {
	t.Parallel()
	ham := item.Item{ID: "ham_vac", ImportClass: "MEAT_CURED"}
	bread := item.Item{ID: "bread_sliced", ImportClass: "FLOUR_PROCESSED", Allergens: []string{"gluten"}}
	cheese := item.Item{ID: "cheese_hard", ImportClass: "DAIRY_CHEESE", Allergens: []string{"milk"}}
	for _, tt := range []struct {
		word string
		item item.Item
		want bool
	}{
		{"ham_vac", ham, true},
		{"pork", ham, true},
		{"vegetarian", ham, true},
		{"vegetarian", cheese, false},
		{"vegan", cheese, true},
		{"gluten", bread, true},
		{"Coeliac", bread, true},
		{"coeliac", cheese, false},
		{"lunch", bread, true}, // a need refused as a whole
		{"fish", bread, false},
	} {
		require.Equal(t, tt.want, Person{NotEating: []string{tt.word}}.Refuses(tt.item, "lunch"), "%s %s", tt.word, tt.item.ID)
	}
}

func TestCheckWords(t *testing.T) {
	t.Parallel()
	cat := &item.Catalogue{
		Items: map[pricing.ItemID]item.Item{"bread": {ID: "bread", Allergens: []string{"gluten"}}},
		Needs: []item.Need{{ID: "lunch"}},
	}
	c := Crew{Persons: []Person{{ID: "a", NotEating: []string{"gluten", "lunch", "bread", "vegan"}}}}
	require.NoError(t, c.CheckWords(cat))
	c.Persons[0].NotEating = []string{"glutten"}
	require.ErrorIs(t, c.CheckWords(cat), ErrInvalid)
	require.ErrorContains(t, c.CheckWords(cat), `persons[0].not_eating[0]: “glutten”`)
}

// protein_safe and protein_safe_70: 0.83 g a kilogram and day, 58.1 g at 70 kg
// (WHO Technical Report 935, 2007, quoted; read-secondary and derived).
func TestProteinNeed(t *testing.T) {
	t.Parallel()
	require.InDelta(t, 0.83, Person{Age: 30, Sex: Male, MassKg: 1}.ProteinNeed(), 1e-9)
	require.InDelta(t, 58.1, Person{Age: 30, Sex: Male, MassKg: 70}.ProteinNeed(), 0.1)
	require.Greater(t, Person{Age: 2, MassKg: 13}.ProteinNeed()/13, 0.83, "children need more for each kilogram")
}

func TestLockersAreChecked(t *testing.T) {
	t.Parallel()
	v := Vessel{ID: "v", Spaces: []Space{{ID: "saloon", Kind: Dry, Litres: 200}}}
	hot := 90.0
	require.NoError(t, v.CheckLockers(nil))
	good := []Locker{{ID: "a", Space: "saloon", Litres: 40, Side: Port}, {ID: "b", Space: "saloon"}}
	require.NoError(t, v.CheckLockers(good))
	err := v.CheckLockers([]Locker{
		{Space: "saloon"}, {ID: "a", Space: "attic"}, {ID: "a", Space: "saloon", Litres: -1}, {ID: "c", Space: "saloon", Side: "up", TempC: &hot, MaxKg: 1e9},
	})
	require.ErrorIs(t, err, ErrInvalid)
	for _, path := range []string{
		"lockers[0].id", "lockers[1].space", "lockers[2].id", "lockers[2].litres", "lockers[3].side", "lockers[3].temp_c", "lockers[3].max_kg",
	} {
		require.ErrorContains(t, err, path)
	}
	l, ok := FindLocker(good, "b")
	require.True(t, ok)
	require.Equal(t, "b", l.ID)
	_, ok = FindLocker(good, "z")
	require.False(t, ok)
}
