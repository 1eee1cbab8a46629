package vessel

import "hardtack/pricing/item"

// foodByAge is how much of an adult's food people eat: common practice, no
// source. Under one the child lives mostly on milk, a need of its own.
var foodByAge = []struct{ under, factor float64 }{
	{1, 0.15}, {4, 0.45}, {9, 0.6}, {14, 0.8}, {18, 1.1}, {999, 1},
}

// waterByAge is drinking water against an adult man's 2.5 L a day: EFSA
// Journal 2010;8(3):1459 (1.3 L at 2–3 years, 1.6 L at 4–8, 2.1 L at 9–13).
var waterByAge = []struct{ under, factor float64 }{
	{4, 0.52}, {9, 0.64}, {14, 0.84}, {999, 1},
}

// From these ages on coffee and alcohol are counted, up to these nappies and formula.
const (
	coffeeFrom  = 16
	alcoholFrom = 18
	nappiesTo   = 3
	formulaTo   = 1
)

// Factor is how many adults the person counts for in needs of an appetite. A
// factor given for the person wins; item.Menstrual and item.Pet are 0 unless given, and
// item.Vessel is 0, for it counts boats.
func (p Person) Factor(a item.Appetite) float64 {
	if x, ok := p.Factors[string(a)]; ok {
		return x
	}
	switch a {
	case item.Food:
		return p.food()
	case item.Coffee:
		return flag(p.Age >= coffeeFrom)
	case item.Alcohol:
		return flag(p.Age >= alcoholFrom)
	case item.Infant:
		return flag(p.Age < nappiesTo)
	case item.Baby:
		return flag(p.Age < formulaTo)
	case item.Person:
		return 1
	}
	return 0
}

func (p Person) food() float64 {
	x := byAge(foodByAge, p.Age)
	if p.Appetite > 0 {
		x *= p.Appetite
	}
	return x
}

// WaterFactor is drinking water against an adult's, 0.5–1.
func (p Person) WaterFactor() float64 { return byAge(waterByAge, p.Age) }

func byAge(table []struct{ under, factor float64 }, age float64) float64 {
	for _, row := range table {
		if age < row.under {
			return row.factor
		}
	}
	return 1
}

func flag(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
