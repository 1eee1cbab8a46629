package brief

import (
	"cmp"
	"math/bits"
	"slices"

	"hardtack/pricing/item"
	"hardtack/route/vessel"
)

// rates is what each person uses of each need a day, by person and need index.
type rates [][]float64

// eaters says, for every person and need, which of the need's alternates the
// person eats, as a mask over the alternates.
type eaters [][]uint64

func eatersOf(crew vessel.Crew, cat *item.Catalogue, bakes bool) eaters {
	masks := make(eaters, len(crew.Persons))
	for p, person := range crew.Persons {
		masks[p] = make([]uint64, len(cat.Needs))
		for n, need := range cat.Needs {
			for a, alt := range need.Alternates {
				if i, ok := cat.Items[alt.Item]; ok && !person.Refuses(i, need.ID) && (bakes || !baked(i, need)) {
					masks[p][n] |= 1 << a
				}
			}
		}
	}
	return masks
}

// baked says whether an alternate is bread still to be baked, which a boat
// that does not bake daily has no gas for.
func baked(i item.Item, need item.Need) bool {
	return need.Group == "bread_crackers" && slices.Contains([]string{"flour_white", "flour_whole", "bread_mix"}, string(i.ID))
}

// ratesOf is what each person uses a day. What a person refuses altogether is
// moved to the needs of the same group that the person eats, or else, at equal
// energy, to those of the groups that stand in; what finds no place is noted.
func ratesOf(crew vessel.Crew, cat *item.Catalogue, masks eaters, notes *Notes) rates {
	r := make(rates, len(crew.Persons))
	for p, person := range crew.Persons {
		r[p] = make([]float64, len(cat.Needs))
		for n, need := range cat.Needs {
			r[p][n] = need.PerPersonDay * person.Factor(need.Appetite)
		}
		for n, need := range cat.Needs {
			if masks[p][n] == 0 && r[p][n] > 0 {
				moved := r[p][n]
				r[p][n] = 0
				to := move(r[p], masks[p], cat, n, moved)
				notes.moved(person, need, to)
			}
		}
	}
	return r
}

// standIns are the groups that take over when a person eats nothing of a
// group: common practice, no source.
var standIns = map[string][]string{
	"meat_fish":         {"pulses_dry_equiv", "eggs", "cheese"},
	"eggs":              {"pulses_dry_equiv", "cheese", "meat_fish"},
	"cheese":            {"nuts_driedfruit", "pulses_dry_equiv"},
	"milk_equiv":        {"nuts_driedfruit", "pulses_dry_equiv"},
	"bread_crackers":    {"starch_dry"},
	"breakfast_cereal":  {"starch_dry", "bread_crackers"},
	"pulses_dry_equiv":  {"meat_fish", "eggs"},
	"nuts_driedfruit":   {"sweet_snacks", "fruit_fresh_gross"},
	"sweet_snacks":      {"nuts_driedfruit"},
	"veg_fresh_gross":   {"veg_tinned"},
	"veg_tinned":        {"veg_fresh_gross"},
	"fruit_fresh_gross": {"nuts_driedfruit"},
}

// move puts an amount of need n onto other needs of one person and gives them.
func move(rate []float64, mask []uint64, cat *item.Catalogue, n int, amount float64) []item.Need {
	from := cat.Needs[n]
	if to := spread(rate, mask, cat, n, from.Group, amount, false); to != nil {
		return to
	}
	for _, g := range standIns[from.Group] {
		if to := spread(rate, mask, cat, n, g, amount, true); to != nil {
			return to
		}
	}
	return nil
}

// spread puts an amount onto the needs of a group that the person eats, in
// proportion to what they are used already; by energy when the groups differ.
func spread(rate []float64, mask []uint64, cat *item.Catalogue, n int, group string, amount float64, energy bool) []item.Need {
	sum := 0.0
	var to []int
	for k, need := range cat.Needs {
		if k != n && need.Group == group && mask[k] != 0 && rate[k] > 0 {
			to = append(to, k)
			sum += rate[k]
		}
	}
	if sum == 0 {
		return nil
	}
	var needs []item.Need
	for _, k := range to {
		part := amount * rate[k] / sum
		if energy {
			part *= ratio(kcalPerUnit(cat, cat.Needs[n]), kcalPerUnit(cat, cat.Needs[k]))
		}
		rate[k] += part
		needs = append(needs, cat.Needs[k])
	}
	return needs
}

func ratio(a, b float64) float64 {
	if a <= 0 || b <= 0 {
		return 1
	}
	return a / b
}

// kcalPerUnit is the energy of a need-unit: the median over its alternates.
func kcalPerUnit(cat *item.Catalogue, need item.Need) float64 {
	var x []float64
	for _, a := range need.Alternates {
		if i, ok := cat.Items[a.Item]; ok && a.Yield > 0 {
			x = append(x, i.Kcal/a.Yield)
		}
	}
	return median(x)
}

func median(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	x = slices.Clone(x)
	slices.Sort(x)
	if n := len(x); n%2 == 0 {
		return (x[n/2-1] + x[n/2]) / 2
	}
	return x[len(x)/2]
}

// table is one group of persons who eat the same alternates of a need.
type table struct {
	mask    uint64
	persons []int
}

// tables groups the persons who use a need by what they eat of it, the
// largest group first, of equals the one that eats most.
func tables(r rates, masks eaters, n int) []table {
	var t []table
	for p := range r {
		if r[p][n] <= 0 || masks[p][n] == 0 {
			continue
		}
		k := slices.IndexFunc(t, func(x table) bool { return x.mask == masks[p][n] })
		if k < 0 {
			t = append(t, table{mask: masks[p][n]})
			k = len(t) - 1
		}
		t[k].persons = append(t[k].persons, p)
	}
	slices.SortStableFunc(t, func(a, b table) int {
		return cmp.Or(len(b.persons)-len(a.persons), bits.OnesCount64(b.mask)-bits.OnesCount64(a.mask))
	})
	return t
}

func pick(alternates []item.Alternate, mask uint64) []item.Alternate {
	var out []item.Alternate
	for a, alt := range alternates {
		if mask&(1<<a) != 0 {
			out = append(out, alt)
		}
	}
	return out
}
