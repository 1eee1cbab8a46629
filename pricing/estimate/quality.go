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

// Quality: an item starts as faultless as itemGrades reports would say, a
// port's goods and an origin's as the item's by gradeStrength reports. Older
// reports than qualityDays are forgotten.
const (
	itemGrades    = 6.0
	gradeStrength = 3.0
	qualityDays   = 730
	// an origin is named when this many of its reports are there.
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

// from is the share lost when it starts as strength reports with the share p.
func (g grades) from(p, strength float64) float64 {
	return (p*strength + g.lost) / (strength + float64(g.graded))
}

// larder is what is known of the quality of goods.
type larder struct {
	item   map[int32]grades
	cell   map[[2]int32]grades
	origin map[int32]map[string]grades
}

func newLarder() larder {
	return larder{map[int32]grades{}, map[[2]int32]grades{}, map[int32]map[string]grades{}}
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
		if l.origin[item] == nil {
			l.origin[item] = map[string]grades{}
		}
		o := l.origin[item][r.Origin]
		o.add(r)
		l.origin[item][r.Origin] = o
	}
}

// goods is what is expected of an item's quality at a port.
func (l *larder) goods(port, item int32) pricing.Goods {
	all := l.item[item]
	if all.graded == 0 {
		return pricing.Goods{}
	}
	c := l.cell[[2]int32{port, item}]
	g := pricing.Goods{Lost: c.from(all.from(0, itemGrades), gradeStrength), Graded: c.graded, Poor: c.poor, Insects: c.insects}
	g.Worst, g.Best = extremes(l.origin[item], all.from(0, itemGrades))
	return g
}

// extremes are the origin that loses most, if it loses clearly more than the
// item, and the one that loses least.
func extremes(by map[string]grades, item float64) (worst, best string) {
	type land struct {
		name string
		lost float64
	}
	var all []land
	for name, g := range by {
		if g.graded >= originLeast {
			all = append(all, land{name, g.from(item, gradeStrength)})
		}
	}
	slices.SortFunc(all, func(a, b land) int { return cmp.Or(cmp.Compare(b.lost, a.lost), cmp.Compare(a.name, b.name)) })
	if len(all) == 0 || all[0].lost < 1.3*item || all[0].lost < 0.05 {
		return "", ""
	}
	if last := all[len(all)-1]; last.lost < 0.6*all[0].lost {
		best = last.name
	}
	return all[0].name, best
}
