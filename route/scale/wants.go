package scale

import (
	"math"
	"slices"
	"strings"

	"hardtack/pricing"
	"hardtack/pricing/measure"
	"hardtack/pricing/wording"
	"hardtack/route/keeping"
)

// What is bought when, by days of keeping: common practice, no source.
const (
	keepsWell = 60  // bought weeks ahead
	keepsBit  = 7   // bought in the last three days, else on the last morning
	hardyFrom = 14  // days from which fresh things count as hardy
	noticed   = 0.1 // part of a need whose lack is worth a note
)

func (f *filling) result(list List) Result {
	r := Result{From: List{People: list.People, Days: list.Days, Own: list.Own}, For: f.target}
	for _, d := range f.demands {
		packs := d.packs()
		for k, p := range d.parts {
			if w := f.want(d, p, packs[k]); w.Amount > 0 && (w.Buy > 0 || w.Aboard > 0) {
				r.Wants = append(r.Wants, w)
			}
		}
		if d.short > noticed*d.total {
			r.Notes = append(r.Notes, f.shortNote(d))
		}
	}
	f.order(r.Wants)
	f.sums(&r)
	r.Notes = append(r.Notes, f.cautions(r)...)
	return r
}

func (f *filling) want(d *demand, p *part, packs []Packs) Want {
	w := Want{
		Item: p.item.ID, Name: p.item.Name, Category: p.item.Category, Unit: p.item.Unit, Need: d.need.ID,
		Amount: measure.Of(p.amount/p.yield + p.had), Aboard: measure.Of(p.had), Packs: packs, Buy: total(packs),
		Place: p.stowed.place, Instead: p.instead, Hint: p.item.BuyHint, When: f.when(p), Stage: f.stage(p),
	}
	if f.perishes(p) {
		w.EatBy = max(1, int(p.stowed.days))
	}
	return w
}

func (f *filling) when(p *part) When {
	life := p.stowed.days
	fresh := suits(p.item, "prod", "prodc", "egg", "chill", "cured", "bread", "frozen")
	switch {
	case p.stowed.place == Tank:
		return LastDays
	case p.stowed.place == Freezer:
		return LastDays
	case life < keepsBit || (f.perishes(p) && keeping.NeedsCold(p.item) && life < hardyFrom):
		return LastMorning
	case fresh || life < keepsWell:
		return LastDays
	}
	return WeeksAhead
}

func (f *filling) stage(p *part) Stage {
	switch {
	case !suits(p.item, "prod", "prodc", "egg", "chill", "cured", "bread", "frozen"):
		return Keeps
	case p.stowed.days < hardyFrom:
		return Fresh
	}
	return Hardy
}

// order sorts by when to buy, then fresh before hardy before the rest, then as
// the catalogue has it.
func (f *filling) order(wants []Want) {
	at := map[pricing.ItemID]int{}
	for k, id := range f.catalogue.Order {
		at[id] = k
	}
	rank := func(w Want) int {
		when := slices.Index([]When{WeeksAhead, LastDays, LastMorning}, w.When)
		stage := slices.Index([]Stage{Fresh, Hardy, Keeps}, w.Stage)
		return (when*10+stage)*len(at)*2 + at[w.Item]
	}
	slices.SortFunc(wants, func(a, b Want) int { return rank(a) - rank(b) })
}

func (f *filling) sums(r *Result) {
	personDays := f.target.People * f.target.length()
	for _, w := range r.Wants {
		it := f.catalogue.Items[w.Item]
		r.Kcal += w.Amount.Units() * it.Kcal / personDays
		switch n, _ := f.catalogue.NeedOf(w.Item); n.ID {
		case "water":
			a, _ := n.Alternate(w.Item)
			r.WaterL += w.Amount.Units() * a.Yield / personDays
		case "gas":
			a, _ := n.Alternate(w.Item)
			r.GasKg += w.Amount.Units() * a.Yield / personDays
		}
		if w.Place != Tank {
			r.Kg += w.Buy.Units() * it.Kg
			r.Litres += w.Buy.Units() * it.Litres
		}
	}
}

func (f *filling) shortNote(d *demand) wording.Remark {
	name := wording.Need(d.need.ID, strings.ToLower(d.need.Name))
	if i := d.parts[0].item; d.need.ID == "" {
		name = wording.Item(string(i.ID), i.Name)
	}
	last := int(math.Ceil(f.target.length() * (1 - d.short/d.total)))
	return wording.Say("scale.short", name, wording.Count(last))
}

// Sphere Handbook 2011: 2.5–3 L per person and day for drinking and food alone.
const leastWater = 3

func (f *filling) cautions(r Result) []wording.Remark {
	var out []wording.Remark
	if r.WaterL < leastWater {
		out = append(out, wording.Say("scale.water", wording.Number(r.WaterL, 1), wording.Count(leastWater)))
	}
	if r.GasKg == 0 {
		out = append(out, wording.Say("scale.no_gas"))
	}
	out = append(out, wording.Say("scale.two"))
	if len(f.target.Aboard) > 0 {
		out = append(out, wording.Say("scale.aboard"))
	}
	return append(out, wording.Say("scale.quality"), wording.Say("scale.labels"))
}
