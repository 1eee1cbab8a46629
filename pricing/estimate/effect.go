package estimate

// roster has the numbers of everything the model names. Items and ports are in
// the order of their ids, so that no sum depends on the order of the input.
type roster struct {
	items, ports, categories, countries int

	categoryOf []int32   // by item
	countryOf  []int32   // by port
	levels     []float64 // log price level by country, 0 when unknown
	alone      []float64 // how remote each port is, see remoteness; nil: not used
}

// layout says where each block of effects begins in a vector of all. An
// effect is a level in itself, not a difference from the next larger group:
// that group is only where its prior is centred. So the equations stay well
// conditioned however many groups hold each other.
type layout struct {
	roster
	mean, level                                int
	category, item, country, port, twist, pack int
	product, remote                            int
	size                                       int
}

func newLayout(w roster) layout {
	l := layout{roster: w, mean: 0, level: 1, category: 2}
	l.item = l.category + w.categories
	l.country = l.item + w.items
	l.port = l.country + w.countries
	l.twist = l.port + w.ports
	l.pack = l.twist + w.categories*w.countries
	l.product = l.pack + w.categories
	l.remote = l.product + w.items*w.countries
	l.size = l.remote + 1
	return l
}

func (l *layout) twistAt(port, item int32) int {
	return int(l.categoryOf[item])*l.countries + int(l.countryOf[port])
}

// productAt is the place of an item in a country.
func (l *layout) productAt(port, item int32) int {
	return int(l.countryOf[port])*l.items + int(item) // a port's items lie together
}

// levelOf is what a vector of effects makes of a cell's level.
func (l *layout) levelOf(v []float64, port, item int32) float64 {
	return v[l.item+int(item)] + v[l.port+int(port)] + v[l.twist+l.twistAt(port, item)] + v[l.product+l.productAt(port, item)] +
		l.aloneAt(port)*v[l.remote]
}

// terms are what a vector of effects makes of one cell: its level and its
// slope in the log pack ratio.
func (l *layout) terms(v []float64, port, item int32) (level, pack float64) {
	return l.levelOf(v, port, item), v[l.pack+int(l.categoryOf[item])]
}

// belief a priori: each effect is normal about factor × its parent, or about
// zero, with a precision. Precision 0 leaves an effect free; +Inf holds one
// without parent at zero.
type prior struct {
	precision []float64
	parent    []int32 // -1 for none
	factor    []float64
}

// tree centres items in categories about the mean, ports in countries about
// what their price level makes of it.
func (l *layout) tree() prior {
	p := prior{make([]float64, l.size), make([]int32, l.size), make([]float64, l.size)}
	for k := range p.parent {
		p.parent[k], p.factor[k] = -1, 1
	}
	for g := range l.categories {
		p.parent[l.category+g] = int32(l.mean)
	}
	for i, g := range l.categoryOf {
		p.parent[l.item+i] = int32(l.category) + g
	}
	for c, x := range l.levels {
		p.parent[l.country+c], p.factor[l.country+c] = int32(l.level), x
	}
	for i, c := range l.countryOf {
		p.parent[l.port+i] = int32(l.country) + c
	}
	return p
}

// off is how far an effect is from where its prior is centred.
func (p *prior) off(v []float64, k int) float64 {
	if p.parent[k] < 0 {
		return v[k]
	}
	return v[k] - p.factor[k]*v[p.parent[k]]
}
