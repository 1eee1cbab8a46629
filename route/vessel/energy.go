package vessel

// Basal metabolic rate, kcal/day = slope × kg + constant: Schofield 1985 as
// used by FAO/WHO/UNU, Human energy requirements (2004), Table 5.2. The rows
// under 3 years are from memory.
type schofield struct{ under, slope, constant float64 }

var (
	basalMale = []schofield{
		{3, 59.512, -30.4}, {10, 22.706, 504.3}, {18, 17.686, 658.2},
		{30, 15.057, 692.2}, {60, 11.472, 873.1}, {999, 11.711, 587.7},
	}
	basalFemale = []schofield{
		{3, 58.317, -31.1}, {10, 20.315, 485.9}, {18, 13.384, 692.6},
		{30, 14.818, 486.6}, {60, 8.126, 845.6}, {999, 9.082, 658.5},
	}
)

// Activity is the physical activity level: energy spent as a multiple of the
// basal rate. FAO/WHO/UNU 2004 call 1.70–1.99 moderately active.
type Activity float64

// Light is life at anchor, Usual a season under sail, Hard a passage with a
// short watch.
const (
	Light Activity = 1.6
	Usual Activity = 1.75
	Hard  Activity = 1.85
)

// ByAge is the activity of a person of that age who leads a crew's usual day:
// small children grow but do not stand watches (judgement, chosen so that
// the need of a boy of 2 and of 6 agrees within 5 % with FAO/WHO/UNU 2004,
// Table 4.2, from memory: 1,125 and 1,575 kcal), and past 65 one takes it easier.
func ByAge(age float64) Activity {
	switch {
	case age < 4:
		return 1.45
	case age < 9:
		return Light
	case age >= 65:
		return Light
	}
	return Usual
}

// EnergyNeed is the person's energy need in kcal a day at an activity; 0 takes
// ByAge. Unsaid sex takes the mean of both tables, unsaid mass the usual one.
func (p Person) EnergyNeed(a Activity) float64 {
	if a == 0 {
		a = ByAge(p.Age)
	}
	f, m := basal(basalFemale, p.Age, p.mass(Female)), basal(basalMale, p.Age, p.mass(Male))
	switch p.Sex {
	case Female:
		return f * float64(a)
	case Male:
		return m * float64(a)
	}
	return (f + m) / 2 * float64(a)
}

func basal(table []schofield, age, kg float64) float64 {
	for _, row := range table {
		if age < row.under {
			return row.slope*kg + row.constant
		}
	}
	return 0
}

// usualMass is what people of an age weigh, in kg, women and men: rounded
// medians, from memory.
var usualMass = []struct{ under, female, male float64 }{
	{0.5, 6, 6.5}, {1, 8.5, 9}, {2, 11, 11.5}, {3, 13, 13.5}, {4, 15, 15.5}, {5, 17, 17.5},
	{6, 19, 19.5}, {7, 21, 21.5}, {8, 24, 24}, {9, 27, 27}, {10, 30, 30}, {11, 34, 33},
	{12, 38, 37}, {13, 43, 42}, {14, 47, 48}, {15, 51, 54}, {16, 53, 59}, {18, 56, 65}, {999, 65, 80},
}

func (p Person) mass(s Sex) float64 {
	if p.MassKg > 0 {
		return p.MassKg
	}
	for _, row := range usualMass {
		if p.Age < row.under {
			if s == Female {
				return row.female
			}
			return row.male
		}
	}
	return 0
}

// proteinByAge is the safe level of protein in grams per kilogram and day: 0.83
// for adults (WHO Technical Report 935, 2007, quoted); children more, as far as
// remembered from the same.
var proteinByAge = []struct{ under, factor float64 }{{1, 1.3}, {3, 1.0}, {18, 0.92}, {999, 0.83}}

// ProteinNeed is the person's safe intake of protein in grams a day: what a
// plan should not fall below, never advice on health.
func (p Person) ProteinNeed() float64 {
	per := byAge(proteinByAge, p.Age)
	switch p.Sex {
	case Female, Male:
		return per * p.mass(p.Sex)
	}
	return per * (p.mass(Female) + p.mass(Male)) / 2
}
