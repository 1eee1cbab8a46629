package estimate

import "math"

// scales are the variances of the blocks of effects.
type scales struct {
	item2, category2, country2, port2, twist2, product2 float64
}

func startScales(informed bool) scales {
	s := scales{
		item2: startItem * startItem, category2: startCategory * startCategory,
		country2: startCountry * startCountry, port2: startPort * startPort, twist2: startTwist * startTwist,
		product2: startProduct * startProduct,
	}
	if informed { // what is left of item, category and country beside what the prior expects
		s.item2, s.category2, s.country2 = 0.35*0.35, 0.15*0.15, 0.2*0.2
	}
	return s
}

// meanSD is how far all prices together may be from what is expected.
func meanSD(informed bool) float64 {
	if informed {
		return 0.3
	}
	return 100
}

// believe is the prior of all effects under the present variances.
func (f *fit) believe() prior {
	p := f.tree()
	fill := func(from, n int, variance float64) {
		for k := from; k < from+n; k++ {
			p.precision[k] = 1 / variance
		}
	}
	fill(f.mean, 1, meanSD(f.informed)*meanSD(f.informed))
	fill(f.level, 1, levelSD*levelSD)
	fill(f.category, f.categories, f.category2)
	fill(f.country, f.countries, f.country2)
	fill(f.port, f.ports, f.port2)
	fill(f.twist, f.categories*f.countries, f.twist2)
	fill(f.product, f.items*f.countries, f.product2)
	fill(f.pack, f.categories, packElasticitySD*packElasticitySD)
	fill(f.remote, 1, remoteSD*remoteSD)
	for i := range f.items {
		p.precision[f.item+i] = 1 / f.itemVariance(i)
	}
	return p
}

// itemVariance is the variance of an item about its expectation: as the prior
// has it, scaled to how good the prior turned out to be.
func (f *fit) itemVariance(i int) float64 {
	if s := f.spread[i]; s > 0 {
		return s * s * f.item2 / startScales(true).item2
	}
	if f.informed {
		return startCategory * startCategory
	}
	return f.item2
}

// doubt is how far the effects may be off given the reports: variances by
// block, of ports together with their country. The inverse of the diagonal
// would be too small by far (it takes all other effects as known), so ports
// are nested in countries here: what is exact for a tree.
type doubt struct {
	layout
	all, country2                       float64
	item, port, country, twist, product []float64
	// information of the reports about each
	itemInfo, portInfo, countryInfo, twistInfo, productInfo []float64
}

func (f *fit) doubts() doubt { return f.doubtsOf(f.system.cells, nil) }

func (f *fit) doubtsOf(cells []stat, means []average) doubt {
	d := doubt{layout: f.layout, country2: f.country2}
	d.itemInfo, d.portInfo = make([]float64, f.items), make([]float64, f.ports)
	d.twistInfo = make([]float64, f.categories*f.countries)
	d.productInfo = make([]float64, f.items*f.countries)
	inform := func(port, item int32, info float64) {
		d.productInfo[f.productAt(port, item)] += info
		d.itemInfo[item] += info
		d.portInfo[port] += info
		d.twistInfo[f.twistAt(port, item)] += info
	}
	for k := range cells {
		inform(cells[k].port, cells[k].item, cells[k].a[0])
	}
	for k := range means {
		inform(means[k].port, means[k].item, float64(means[k].a))
	}
	d.twist = shrunk(d.twistInfo, func(int) float64 { return f.twist2 })
	d.product = shrunk(d.productInfo, func(int) float64 { return f.product2 })
	d.item = shrunk(d.itemInfo, f.itemVariance)
	f.placeDoubts(&d)
	return d
}

func shrunk(info []float64, variance func(int) float64) []float64 {
	out := make([]float64, len(info))
	for k, x := range info {
		out[k] = 1 / (1/variance(k) + x)
	}
	return out
}

// placeDoubts works from ports up to countries and down again.
func (f *fit) placeDoubts(d *doubt) {
	seen := make([]float64, f.countries) // categories
	for k, x := range d.twistInfo {
		if x > 0 {
			seen[k%f.countries]++
		}
	}
	d.countryInfo = make([]float64, f.countries)
	for p, info := range d.portInfo {
		if info > 0 {
			d.countryInfo[f.countryOf[p]] += 1 / (f.port2 + 1/info)
		}
	}
	d.country = make([]float64, f.countries)
	total := 0.0
	for c, info := range d.countryInfo {
		if info > 0 {
			info = 1 / (1/info + f.twist2/seen[c])
			d.countryInfo[c] = info
			total += 1 / (f.country2 + 1/info)
		}
		d.country[c] = 1 / (1/f.country2 + info)
	}
	if near := f.neighbours.doubts(d.countryInfo); near != nil {
		d.country = near
	}
	d.port = make([]float64, f.ports)
	for p, info := range d.portInfo {
		v := d.country[f.countryOf[p]]
		keep := 1 / (1 + f.port2*info) // of the country's doubt in the port
		d.port[p] = f.port2*keep + keep*keep*v
	}
	d.all = 1 / (1/math.Pow(min(meanSD(f.informed), 2), 2) + total)
}

// level is the variance of a cell's level, its own deviation apart. The level
// all items share is known only where reports come from: it counts as far as
// the country is unknown.
func (d *doubt) level(port, item int32) float64 {
	unknown := d.country[d.countryOf[port]] / d.country2
	return d.all*unknown + d.item[item] + d.port[port] + d.twist[d.twistAt(port, item)] + d.product[d.productAt(port, item)]
}
