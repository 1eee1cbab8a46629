package estimate

import "math"

// movements are what moves many prices at once for a time.
type movements struct {
	lands, goods tides   // all prices of a country, and of an item
	offers       tides   // an item's in a country, week by week
	offered      []int32 // group of offers by item in country, -1 for none; nil: all none
	shock2       float64 // variance of what an item in a country has in common for a while
}

// Where an item of a country is often reported, it is followed week by week:
// chains put a thing on offer in all their shops at once.
const (
	offerStep  = 7 // days
	startOffer = 0.03
	offerLeast = 40 // reports
	// startDoubt is twice the variance of the log of a variance about its start.
	startDoubt = 5
)

// offerMemories are how long offers may last, in days.
var offerMemories = [...]float64{2, 4, 7, 14, 28}

func (f *fit) newMovements() {
	f.lands = f.newTides(f.countries, startTide, tideStep, tideMemory, f.countryOfCell, itemOfCell)
	f.lands.slope2 = countryDriftSD * countryDriftSD
	f.goods = f.newTides(f.items, startItemTide, tideStep, tideMemory, itemOfCell, f.countryOfCell)
	f.offers = f.newTides(f.findOffers(), startOffer, offerStep, offerMemories[0], f.offerOfCell, portOfCell)
	f.offers.memories = offerMemories[:]
}

// findOffers numbers the items in countries that are often reported.
func (f *fit) findOffers() (groups int) {
	count := map[int]int{}
	for k := range f.cells {
		c := &f.cells[k]
		count[f.productAt(c.port, c.item)] += c.to - c.from
	}
	f.offered = nil
	for k := range f.cells {
		p := f.productAt(f.cells[k].port, f.cells[k].item)
		if count[p] < offerLeast {
			continue
		}
		if f.offered == nil {
			f.offered = make([]int32, f.items*f.countries)
			for k := range f.offered {
				f.offered[k] = -1
			}
		}
		if f.offered[p] < 0 {
			f.offered[p] = int32(groups)
			groups++
		}
	}
	return groups
}

// offerOf is the group of an item at a port, below 0 for none.
func (f *fit) offerOf(port, item int32) int32 {
	if f.offered == nil {
		return -1
	}
	return f.offered[f.productAt(port, item)]
}

func (f *fit) offerOfCell(c *cell) int32 { return f.offerOf(c.port, c.item) }

func portOfCell(c *cell) int32 { return c.port }

// learnMovements learns what the reports show of each.
func (f *fit) learnMovements() {
	f.inTurn(&f.lands, f.shock2)
	f.inTurn(&f.goods, f.shock2)
	if f.offered != nil {
		f.inTurn(&f.offers, 0)
	}
}

// inTurn learns one and takes what is new in it off the residuals, so that the
// next does not learn the same again.
func (f *fit) inTurn(t *tides, common float64) {
	before := make([]float64, len(f.sights))
	for k := range f.sights {
		before[k] = t.at(t.groupOf(&f.cells[f.sights[k].cell]), f.sights[k].day)
	}
	f.learnTides(t, common)
	for k := range f.sights {
		if o := &f.sights[k]; !o.remark {
			o.off -= t.at(t.groupOf(&f.cells[o.cell]), o.day) - before[k]
		}
	}
}

// moved is how far a cell's price was moved on a day not after the last.
func (f *fit) moved(port, item, day int32) float64 {
	return f.lands.at(f.countryOf[port], day) + f.goods.at(item, day) + f.offers.at(f.offerOf(port, item), day)
}

// moving is how far it will be some days after the last, and the variance.
func (f *fit) moving(port, item int32, days float64) (y, variance float64) {
	c, o := f.countryOf[port], f.offerOf(port, item)
	return f.lands.ahead(c, days) + f.goods.ahead(item, days) + f.offers.ahead(o, days),
		f.lands.now[c] + f.goods.now[item] + f.offers.doubt(o)
}

// recall chooses the memory and the variance under which the courses are
// likeliest.
func (t *tides) recall(seen []course) {
	best := math.Inf(-1)
	var memory, tide2 float64
	for _, m := range t.memories {
		for _, times := range [...]float64{0.25, 0.5, 0.7, 1, 1.4, 2, 4} {
			p := process{cell2: t.tide2 * times, noise2: 1, memory: m}
			off := math.Log(p.cell2 / t.start)
			l := -off * off / startDoubt
			for g := range seen {
				c := &seen[g]
				l += p.smooth(c.sights, c.level, make([]smoothed, len(c.sights)))
			}
			if l > best {
				best, memory, tide2 = l, m, p.cell2
			}
		}
	}
	t.memory, t.tide2 = memory, tide2
}
