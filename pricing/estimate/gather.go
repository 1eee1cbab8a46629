package estimate

import (
	"cmp"
	"math"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// index numbers what the input names, in the order of ids.
type index struct {
	roster
	itemAt map[pricing.ItemID]int32
	portAt map[pricing.PortID]int32
	in     *Input

	itemOf []*Item // by number
	portOf []*Port

	expected []float64 // log price by item where the level is 1, as the prior has it
	spread   []float64 // its sd, 0 when the prior says nothing of the item
	informed bool      // whether it says anything of any

	apart []float64 // distance of two countries, NaN unknown; nil: nearness is not used
}

func newIndex(in *Input) *index {
	ix := &index{itemAt: map[pricing.ItemID]int32{}, portAt: map[pricing.PortID]int32{}, in: in}
	for k := range in.Items {
		ix.itemOf = append(ix.itemOf, &in.Items[k])
	}
	for k := range in.Ports {
		ix.portOf = append(ix.portOf, &in.Ports[k])
	}
	slices.SortFunc(ix.itemOf, func(a, b *Item) int { return cmp.Compare(a.ID, b.ID) })
	slices.SortFunc(ix.portOf, func(a, b *Port) int { return cmp.Compare(a.ID, b.ID) })
	ix.itemOf = slices.CompactFunc(ix.itemOf, func(a, b *Item) bool { return a.ID == b.ID })
	ix.portOf = slices.CompactFunc(ix.portOf, func(a, b *Port) bool { return a.ID == b.ID })
	ix.numberItems()
	ix.numberPorts()
	ix.expect()
	ix.apart = ix.measure()
	ix.alone = ix.remoteness()
	return ix
}

// number gives each name its place in alphabetical order.
func number[T any](all []T, name func(T) string) map[string]int32 {
	names := make([]string, len(all))
	for k, x := range all {
		names[k] = name(x)
	}
	slices.Sort(names)
	out := map[string]int32{}
	for k, n := range slices.Compact(names) {
		out[n] = int32(k)
	}
	return out
}

func (ix *index) numberItems() {
	categories := number(ix.itemOf, func(i *Item) string { return i.Category })
	for k, i := range ix.itemOf {
		ix.itemAt[i.ID] = int32(k)
		ix.categoryOf = append(ix.categoryOf, categories[i.Category])
	}
	ix.items, ix.categories = len(ix.itemOf), len(categories)
}

func (ix *index) numberPorts() {
	countries := number(ix.portOf, func(p *Port) string { return p.Country })
	ix.ports, ix.countries = len(ix.portOf), len(countries)
	ix.levels = make([]float64, ix.countries)
	for k, p := range ix.portOf {
		ix.portAt[p.ID] = int32(k)
		c := countries[p.Country]
		ix.countryOf = append(ix.countryOf, c)
		if p.Level > 0 && ix.levels[c] == 0 {
			ix.levels[c] = math.Log(p.Level)
		}
	}
}

// expect sets what the prior has of each item; of one it does not have, the
// mean of its category, else of all.
func (ix *index) expect() {
	sum, n := make([]float64, ix.categories+1), make([]float64, ix.categories+1)
	for k, i := range ix.itemOf {
		if i.BasePrice > 0 {
			for _, g := range []int{int(ix.categoryOf[k]), ix.categories} {
				sum[g] += math.Log(i.BasePrice)
				n[g]++
			}
		}
	}
	ix.informed = n[ix.categories] > 0
	ix.expected, ix.spread = make([]float64, ix.items), make([]float64, ix.items)
	for k, i := range ix.itemOf {
		g := int(ix.categoryOf[k])
		if n[g] == 0 {
			g = ix.categories
		}
		switch {
		case i.BasePrice > 0:
			ix.expected[k], ix.spread[k] = math.Log(i.BasePrice), max(i.BaseLogSD, 0.05)
		case n[g] > 0:
			ix.expected[k] = sum[g] / n[g]
		}
	}
	if !ix.informed {
		ix.fillLevels()
	}
}

// fillLevels takes countries of unknown price level as in the middle of the
// known: where no prior says what a level of 1 costs, only differences count.
func (ix *index) fillLevels() {
	known, sum, n := make([]bool, ix.countries), 0.0, 0.0
	for p, c := range ix.countryOf {
		if ix.portOf[p].Level > 0 && !known[c] {
			known[c] = true
			sum += ix.levels[c]
			n++
		}
	}
	if n == 0 {
		return
	}
	for c := range ix.levels {
		if !known[c] {
			ix.levels[c] = sum / n
		}
	}
}

// offset is what the prior expects of a cell.
func (ix *index) offset(port, item int32) float64 {
	return ix.expected[item] + levelElasticity*ix.levels[ix.countryOf[port]]
}

// spans are the variances of reports by source against a receipt's.
func sourceSpread(s pricing.Source) float64 {
	switch s {
	case pricing.Receipt:
		return 1
	case pricing.Shelf:
		return 1.25
	}
	return 2
}

// gather sorts the standing reports of known ports and items into cells.
func (f *fit) gather(standing []pricing.Report) {
	f.reporterAt = map[string]int32{}
	f.shops = newShops()
	f.order(standing)
	f.sights = make([]sight, 0, len(f.sorted))
	for _, k := range f.sorted {
		r := &standing[k]
		if r.Found == pricing.FoundNone {
			continue
		}
		o, ok := f.sight(r, k)
		if !ok {
			f.skipped++
			continue
		}
		u, known := f.reporterAt[r.Reporter]
		if !known {
			u = int32(len(f.reporterAt))
			f.reporterAt[r.Reporter] = u
		}
		o.reporter, o.shop = u, f.shops.number(r.Shop)
		f.place(o, f.portAt[r.Port], f.itemAt[r.Item])
	}
	f.shareRepeats()
	count := make([]float64, len(f.reporterAt))
	for k := range f.sights {
		if o := &f.sights[k]; !o.remark {
			count[o.reporter] += o.share
		}
	}
	f.crowd = newCrowd(count)
}

// order sorts by cell, day and id: sums do not depend on the order of rows.
func (f *fit) order(standing []pricing.Report) {
	f.sorted = make([]int32, 0, len(standing))
	for k := range standing {
		_, knownPort := f.portAt[standing[k].Port]
		_, knownItem := f.itemAt[standing[k].Item]
		if knownPort && knownItem {
			f.sorted = append(f.sorted, int32(k))
		} else {
			f.skipped++
		}
	}
	slices.SortFunc(f.sorted, func(a, b int32) int {
		x, y := &standing[a], &standing[b]
		return cmp.Or(
			cmp.Compare(x.Port, y.Port), cmp.Compare(x.Item, y.Item), cmp.Compare(x.Day, y.Day), cmp.Compare(x.ID, y.ID))
	})
}

// sight reads a report; false when its currency has no rate.
func (f *fit) sight(r *pricing.Report, source int32) (sight, bool) {
	o := sight{day: int32(r.Day), source: source, weight: 1, receipt: r.Source != pricing.Memory, spread: sourceSpread(r.Source)}
	if r.Found != pricing.FoundYes {
		o.remark = true
		return o, true
	}
	paid, err := f.in.Rates.InReference(r.Paid, r.Day)
	if err != nil || paid <= 0 || r.Pack <= 0 {
		return o, false
	}
	i := f.itemAt[r.Item]
	units, list := r.Pack.Units(), f.itemOf[i].ListPack.Units()
	if list > 0 {
		o.x = min(max(math.Log(units/list), -math.Ln10), math.Ln10)
	}
	o.y = math.Log(paid/units) + packElasticity*o.x - f.offset(f.portAt[r.Port], i)
	return o, true
}

// place appends a sight to its cell, the last one or a new one.
func (f *fit) place(o sight, port, item int32) {
	n := len(f.cells)
	if n == 0 || f.cells[n-1].port != port || f.cells[n-1].item != item {
		f.cells = append(f.cells, cell{port: port, item: item, from: len(f.sights)})
		n++
	}
	o.cell = int32(n - 1)
	f.sights = append(f.sights, o)
	c := &f.cells[n-1]
	c.to = len(f.sights)
	if !o.remark {
		c.newest = max(c.newest, calendar.Day(o.day))
	}
}

// Reports of one reporter from one cell within a fortnight count as one: a
// thousand of them move no more.
const repeatDays = 14

func (f *fit) shareRepeats() {
	for _, c := range f.cells {
		own := f.sights[c.from:c.to]
		for k := range own {
			before := repeats(own[:k], own[k], true)
			own[k].again = before > 0
			own[k].share = 1 / (1 + before + repeats(own[k+1:], own[k], false))
			own[k].spread /= own[k].share
		}
	}
}

// repeats counts the sights like o on the near side of those before or after.
func repeats(near []sight, o sight, before bool) (n float64) {
	for k := range near {
		if before {
			k = len(near) - 1 - k
		}
		r := &near[k]
		if max(r.day-o.day, o.day-r.day) > repeatDays {
			break
		}
		if r.reporter == o.reporter && r.remark == o.remark {
			n++
		}
	}
	return n
}
