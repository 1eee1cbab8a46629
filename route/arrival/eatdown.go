package arrival

import (
	"fmt"
	"math"
	"strings"

	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/inventory"
)

// EatDown is what to do from now with a thing that will not be let in, or may
// not be.
type EatDown struct {
	Line
	Days   float64          `json:"days"`    // to the arrival; 0 = not known
	Left   measure.Quantity `json:"left"`    // of it on arrival at the usual use
	PerDay float64          `json:"per_day"` // item-units a day that would finish it
	Do     string           `json:"do"`
}

// takenSoon are the verdicts that are planned as a loss; what is conditional or
// unknown is eaten down with them where it is fresh, for it spoils anyhow.
func takenSoon(l Line) bool {
	switch l.Verdict {
	case Refused, Surrendered:
		return true
	case Conditional, Unknown:
		return fresh(l.Class)
	}
	return false
}

func fresh(class string) bool {
	for _, c := range []string{"FRUITVEG_FRESH", "FROZEN_PRODUCE", "MEAT_FRESH", "MEAT_CURED", "EGG_FRESH", "HONEY", "PLANT_SEED_RAW", "DAIRY_FRESH", "PET_FOOD"} {
		if strings.HasPrefix(class, c) {
			return true
		}
	}
	return false
}

// eatDown is what of the lines to eat before the border, as they come: the
// gravest first.
func eatDown(lines []Line, cat *item.Catalogue, v Voyage, eats inventory.Eats) []EatDown {
	var out []EatDown
	spent := map[string]float64{} // days of a need's use that go to an earlier line
	for _, l := range lines {
		if !takenSoon(l) || l.For != inventory.Eaten {
			continue
		}
		e := EatDown{Line: l, Left: l.Amount}
		i := cat.Items[l.Item]
		if !v.Arrive.IsZero() {
			e.Days = max(0, float64(v.Arrive-v.Today))
		}
		if e.Days > 0 {
			need, _ := cat.NeedOf(l.Item)
			eaten := min(l.Amount.Units(), eats(i)*max(0, e.Days-spent[need.ID]))
			e.Left = measure.Of(l.Amount.Units() - eaten)
			if eats(i) > 0 {
				spent[need.ID] += eaten / eats(i)
			}
			e.PerDay = l.Amount.Units() / e.Days
		}
		e.Do = e.words(i)
		out = append(out, e)
	}
	return out
}

func (e EatDown) words(i item.Item) string {
	how := "eat or cook it first"
	switch {
	case strings.HasPrefix(e.Class, "EGG"):
		how = "boil and bake them in the last days"
	case strings.HasPrefix(e.Class, "MEAT"):
		how = "cook it in the last days"
	case i.Shelf.Produce:
		how = "soups, salads and pickles in the last days"
	}
	switch {
	case e.Days == 0:
		return how + "; give what is left to boats that stay, or declare it"
	case e.Left == 0:
		return "the usual use finishes it in time"
	}
	return fmt.Sprintf("%s: %s a day from now on finishes it, else %s is left to give away or to declare",
		how, measure.Of(significant(e.PerDay)).Format(i.Unit), measure.Of(significant(e.Left.Units())).Format(i.Unit))
}

// significant is x to two figures, upwards.
func significant(x float64) float64 {
	if x <= 0 {
		return 0
	}
	step := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Ceil(x/step-1e-9) * step
}
