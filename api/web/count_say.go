package web

import (
	"math"

	"hardtack/api"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/inventory"
)

// explainCount says what a count means, line by line, and what it taught.
func (q *request) explainCount(f *Frame, p *countPage, done api.CountTaken) {
	p.Counted = true
	for _, l := range done.Lines {
		i, err := q.svc.Item(l.Item)
		if err != nil {
			continue
		}
		if l.Used == 0 && l.Found == 0 && l.Missing == 0 && l.Spoilt == 0 && l.Mark == "" {
			p.Agree++
			continue
		}
		p.Lines = append(p.Lines, q.differs(f, i, l))
	}
	for _, l := range done.Learned {
		p.Learned = append(p.Learned, f.Tell(l.Said))
	}
}

// differs is a difference to the book in words.
func (q *request) differs(f *Frame, i item.Item, l api.CountedLine) string {
	much := func(x measure.Quantity) string { return f.Much(x.Units(), i.Unit) }
	text := q.say("count.line", q.words.Item(i.ID, i.Name), much(l.Book), much(l.Counted))
	if l.Spoilt > 0 {
		text += " " + q.say("count.spoilt", much(l.Spoilt))
	}
	usual := f.Much(significant(l.Usual.Use), i.Unit)
	switch {
	case l.Book == 0 && l.Found > 0 && l.Usual.Days == 0:
		text += " " + q.say("count.new")
	case l.Found > 0:
		text += " " + q.say("count.found", much(l.Found))
	case l.Used == 0:
	case l.Usual.Days == 0 || l.Usual.Use == 0:
		text += " " + q.say("count.used", much(l.Used))
	case l.Used.Units() > l.Usual.Use+2*l.Usual.SD:
		text += " " + q.say("count.much", much(l.Used), f.Num(l.Usual.Days, 0), usual)
	case math.Abs(l.Used.Units()-l.Usual.Use) > l.Usual.SD:
		text += " " + q.say("count.little", much(l.Used), f.Num(l.Usual.Days, 0), usual)
	default:
		text += " " + q.say("count.usual", much(l.Used), f.Num(l.Usual.Days, 0), usual)
	}
	if l.Missing > 0 {
		text += " " + q.say("count.missing", much(l.Missing))
	}
	switch l.Mark {
	case inventory.RanOut:
		text += " " + q.say("count.ran_out")
	case inventory.LeftOver:
		text += " " + q.say("count.left_over")
	case inventory.Hated:
		text += " " + q.say("count.hated")
	}
	return text
}

// significant is x to two figures.
func significant(x float64) float64 {
	if x <= 0 {
		return 0
	}
	step := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Round(x/step) * step
}
