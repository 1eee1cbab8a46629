package estimate

// slopes learns every group's slope, normal about a common one, by generalised
// least squares: a slope is known only as well as the comings and goings allow.
func (t *tides) slopes(seen []course) {
	if t.slope2 == 0 {
		return
	}
	a, b := make([]float64, len(seen)), make([]float64, len(seen))
	top, all := drift/(driftSD*driftSD), 1/(driftSD*driftSD)
	for g := range seen {
		a[g], b[g] = t.trend(&seen[g])
		if a[g] > 0 {
			w := 1 / (1/a[g] + t.slope2)
			top += w * b[g] / a[g]
			all += w
		}
	}
	t.common = top / all
	for g := range seen {
		t.slope[g] = (b[g] + t.common/t.slope2) / (a[g] + 1/t.slope2)
	}
}

// trend gives the information of a course about its slope, and that times its
// estimate: an innovations filter on the level, and on years with it.
func (t *tides) trend(c *course) (a, b float64) {
	p := t.process()
	level, slope, v := 0.0, 0.0, p.cell2
	for k := range c.sights {
		if k > 0 {
			f := p.between(&c.sights[k-1], &c.sights[k])
			level, slope, v = f*level, f*slope, p.cell2-f*f*(p.cell2-v)
		}
		n := p.noise(&c.sights[k])
		e, u := c.level[k]-level, t.years(c.steps[k])-slope
		a += u * u / (v + n)
		b += u * e / (v + n)
		level += v / (v + n) * e
		slope += v / (v + n) * u
		v *= n / (v + n)
	}
	return a, b
}
