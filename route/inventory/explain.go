package inventory

import (
	"fmt"
	"math"

	"hardtack/pricing/item"
	"hardtack/pricing/measure"
)

// Expected is what a difference is explained with.
type Expected struct {
	Use  float64 // item-units usually used in the time since the last count; 0 = nothing known
	SD   float64 // its standard deviation
	Days float64 // since the last count; 0 = it is the first
}

// Explain says in words what a difference to the book means.
func (d Difference) Explain(i item.Item, e Expected) string {
	say := func(q measure.Quantity) string { return q.Format(i.Unit) }
	text := fmt.Sprintf("book %s, counted %s", say(d.Book), say(d.Counted))
	if d.Spoilt > 0 {
		text += fmt.Sprintf(", %s thrown away", say(d.Spoilt))
	}
	switch {
	case d.Book == 0 && d.Found > 0 && e.Days == 0:
		text = say(d.Counted) + " counted, new to the book"
	case d.Found > 0:
		text += fmt.Sprintf(": %s more than the book had: bought or given and not entered, or missed at the last count", say(d.Found))
	case d.Used == 0 && d.Missing > 0:
	case d.Used == 0:
		text += ": agrees"
	case e.Days == 0 || e.Use == 0:
		text += fmt.Sprintf(": %s used", say(d.Used))
	case d.Used.Units() > e.Use+2*e.SD:
		text += fmt.Sprintf(": %s gone in %.0f days where %s is usual: look in the other lockers, ask for waste not told, or guests",
			say(d.Used), e.Days, say(round(e.Use)))
	case math.Abs(d.Used.Units()-e.Use) > e.SD:
		text += fmt.Sprintf(": %s used in %.0f days where %s is usual", say(d.Used), e.Days, say(round(e.Use)))
	default:
		text += fmt.Sprintf(": %s used in %.0f days, as usual (%s)", say(d.Used), e.Days, say(round(e.Use)))
	}
	if d.Missing > 0 {
		text += fmt.Sprintf("; %s of what is not for the table is missing: given away and not entered?", say(d.Missing))
	}
	switch d.Mark {
	case RanOut:
		text += "; it ran out: more would have been used"
	case LeftOver:
		text += "; left over: buy less"
	case Hated:
		text += "; nobody liked it: not again"
	}
	return text
}

// round is x to two figures, for words.
func round(x float64) measure.Quantity {
	q := measure.Of(x)
	step := measure.Quantity(1)
	for q/step >= 100 {
		step *= 10
	}
	return (q + step/2) / step * step
}
