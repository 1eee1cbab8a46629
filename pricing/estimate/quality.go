package estimate

import (
	"cmp"
	"slices"

	"hardtack/pricing"
)

// lostByGrade is the share thrown away of goods graded 1 to 5: common
// practice, no source.
var lostByGrade = [...]float64{1: 0.4, 2: 0.2, 3: 0.08, 4: 0.02, 5: 0}

// lostToInsects is the share lost where insects or mould were found, lostToAge
// where goods were past their life or did not last.
const (
	lostToInsects = 0.3
	lostToAge     = 0.2
)

// Quality: what is packed alike in a category starts as faultless as
// packedGrades reports would say; an item as others packed alike by itemGrades
// reports; a port's goods, an origin's and a packaging's as the item's by
// gradeStrength reports. Reports of an item otherwise packed than usual say
// less about it. Older reports than qualityDays are forgotten.
const (
	packedGrades  = 20.0
	itemGrades    = 6.0
	gradeStrength = 3.0
	otherwise     = 0.3
	qualityDays   = 730
	// an origin or a packaging is named when this many of its reports are there.
	originLeast = 3
)

// grades counts reports of quality.
type grades struct {
	graded, poor, insects int
	lost                  float64
}

func (g *grades) add(r *pricing.Report) {
	insects, old := said(r.Note)
	lost := 0.0
	if r.Quality > 0 {
		lost = lostByGrade[r.Quality]
	}
	if old {
		lost = max(lost, lostToAge)
	}
	if insects {
		lost = max(lost, lostToInsects)
		g.insects++
	}
	if r.Quality == 1 || r.Quality == 2 || insects || old {
		g.poor++
	}
	g.graded++
	g.lost += lost
}

// plus is both counts together, the other's weighing so much.
func (g grades) plus(o grades, weight float64) (n, lost float64) {
	return float64(g.graded) + weight*float64(o.graded), g.lost + weight*o.lost
}

// from is the share lost when it starts as strength reports with the share p.
func (g grades) from(p, strength float64) float64 {
	return blend(p, strength, float64(g.graded), g.lost)
}

func blend(p, strength, n, lost float64) float64 { return (p*strength + lost) / (strength + n) }

// less takes away what is part of it.
func (g grades) less(o grades) grades {
	return grades{g.graded - o.graded, g.poor - o.poor, g.insects - o.insects, g.lost - o.lost}
}

// shelfmates are the items of a category that are packed alike.
type shelfmates struct {
	category int32
	packed   string
}

// larder is what is known of the quality of goods.
type larder struct {
	*index
	item   map[int32]grades
	cell   map[[2]int32]grades
	origin map[int32]map[string]grades
	packed map[int32]map[string]grades
	alike  map[shelfmates]grades
}

func newLarder(ix *index) larder {
	return larder{
		ix, map[int32]grades{}, map[[2]int32]grades{}, map[int32]map[string]grades{}, map[int32]map[string]grades{}, map[shelfmates]grades{},
	}
}

func (l *larder) count(port, item int32, r *pricing.Report) {
	if insects, old := said(r.Note); r.Quality == 0 && !insects && !old {
		return
	}
	i, c := l.item[item], l.cell[[2]int32{port, item}]
	i.add(r)
	c.add(r)
	l.item[item], l.cell[[2]int32{port, item}] = i, c
	if r.Origin != "" {
		among(l.origin, item, r.Origin, r)
	}
	if kind := cmp.Or(packedIn(r.Note), l.usual(item)); kind != "" {
		among(l.packed, item, kind, r)
		k := shelfmates{l.categoryOf[item], kind}
		g := l.alike[k]
		g.add(r)
		l.alike[k] = g
	}
}

func among(by map[int32]map[string]grades, item int32, name string, r *pricing.Report) {
	if by[item] == nil {
		by[item] = map[string]grades{}
	}
	g := by[item][name]
	g.add(r)
	by[item][name] = g
}

// usual is how an item is packed unless a note says otherwise, empty when that
// is not known.
func (l *larder) usual(item int32) string { return kindOf(l.itemOf[item].Packaging) }

// goods is what is expected of an item's quality at a port.
func (l *larder) goods(port, item int32) pricing.Goods {
	all, kind := l.item[item], l.usual(item)
	own, others := all, grades{}
	if kind != "" {
		own = l.packed[item][kind]
		others = l.alike[shelfmates{l.categoryOf[item], kind}].less(own)
	}
	if all.graded+others.graded == 0 {
		return pricing.Goods{}
	}
	n, lost := own.plus(all.less(own), otherwise)
	usual := blend(others.from(0, packedGrades), itemGrades, n, lost)
	c := l.cell[[2]int32{port, item}]
	return pricing.Goods{
		Lost: c.from(usual, gradeStrength), Graded: c.graded, Poor: c.poor, Insects: c.insects,
		Origin: extremes(l.origin[item], usual), Packed: extremes(l.packed[item], usual),
	}
}

// extremes are the origin or packaging that loses most, if it loses clearly
// more than the item, and the one that loses least.
func extremes(by map[string]grades, item float64) pricing.Contrast {
	type kind struct {
		grades
		name string
		lost float64
	}
	var all []kind
	for name, g := range by {
		if g.graded >= originLeast {
			all = append(all, kind{g, name, g.from(item, gradeStrength)})
		}
	}
	slices.SortFunc(all, func(a, b kind) int { return cmp.Or(cmp.Compare(b.lost, a.lost), cmp.Compare(a.name, b.name)) })
	if len(all) == 0 || all[0].lost < 1.3*item || all[0].lost < 0.05 {
		return pricing.Contrast{}
	}
	out := pricing.Contrast{Worst: all[0].name, Poor: all[0].poor, Graded: all[0].graded}
	if last := all[len(all)-1]; last.lost < 0.6*all[0].lost {
		out.Best = last.name
	}
	return out
}
