package estimate

// world has the indices of everything the model names. Items and ports are in
// the order of their ids, so that no sum depends on the order of the input.
type world struct {
	items, ports, categories, countries int

	categoryOf []int32   // by item
	countryOf  []int32   // by port
	levels     []float64 // log price level by country, 0 when unknown
}

// layout says where each block of effects begins in a vector of all.
type layout struct {
	mean, level, drift                   int
	category, item, country, port, twist int
	pack, countryDrift                   int
	size                                 int
	world
}

func newLayout(w world) layout {
	l := layout{world: w, mean: 0, level: 1, drift: 2, category: 3}
	l.item = l.category + w.categories
	l.country = l.item + w.items
	l.port = l.country + w.countries
	l.twist = l.port + w.ports
	l.pack = l.twist + w.categories*w.countries
	l.countryDrift = l.pack + w.categories
	l.size = l.countryDrift + w.countries
	return l
}

// at gives the places of the effects that a cell's level is the sum of.
func (l *layout) at(port, item int32) [5]int {
	g, c := int(l.categoryOf[item]), int(l.countryOf[port])
	return [5]int{l.category + g, l.item + int(item), l.country + c, l.port + int(port), l.twist + g*l.countries + c}
}

// terms are what a vector of effects makes of one cell: its level, its slope
// in the log pack ratio, and its drift per year.
func (l *layout) terms(v []float64, port, item int32) (level, pack, drift float64) {
	g, c := int(l.categoryOf[item]), int(l.countryOf[port])
	level = v[l.mean] + v[l.level]*l.levels[c] + v[l.category+g] + v[l.item+int(item)] +
		v[l.country+c] + v[l.port+int(port)] + v[l.twist+g*l.countries+c]
	return level, v[l.pack+g], v[l.drift] + v[l.countryDrift+c]
}
