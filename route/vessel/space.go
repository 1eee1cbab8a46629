package vessel

import "slices"

// What a folding crate and a shopping bag hold when filled as people fill
// them, in litres: common practice, no source.
const (
	crateLitres = 38
	bagLitres   = 18
)

// usableShare is how much of the measured volume of a space can be filled:
// common practice, no source; every space may say otherwise.
var usableShare = map[SpaceKind]float64{
	Dry: 0.65, Cool: 0.65, Net: 0.80, Fridge: 0.75, Freezer: 0.80, Deck: 0.90, Tank: 1, GasLocker: 1,
}

// Kinds lists the kinds of space in the order they are shown.
func Kinds() []SpaceKind {
	return []SpaceKind{Dry, Cool, Net, Fridge, Freezer, Deck, Tank, GasLocker}
}

// Known says whether k is one of Kinds.
func (k SpaceKind) Known() bool { return slices.Contains(Kinds(), k) }

// Fillable is the litres of goods the space takes. Measured litres are reduced
// by the usable share; crates and bags are already what fits.
func (s Space) Fillable() float64 {
	share := s.Usable
	if share == 0 {
		share = usableShare[s.Kind]
	}
	return s.Litres*share + s.Crates*crateLitres + s.Bags*bagLitres
}

// Fillable is the litres of goods all spaces of a kind take together; a tank
// takes what the vessel's water tanks hold.
func (v Vessel) Fillable(k SpaceKind) float64 {
	sum := 0.0
	if k == Tank {
		sum = v.WaterTankL
	}
	for _, s := range v.Spaces {
		if s.Kind == k {
			sum += s.Fillable()
		}
	}
	return sum
}

// Has says whether the vessel has room of kind k.
func (v Vessel) Has(k SpaceKind) bool { return v.Fillable(k) > 0 }

// Temp is the mean logged temperature of the spaces of a kind in °C, weighted
// by their room; false when none was logged.
func (v Vessel) Temp(k SpaceKind) (float64, bool) {
	sum, room := 0.0, 0.0
	for _, s := range v.Spaces {
		if s.Kind == k && s.TempC != nil {
			sum += *s.TempC * s.Fillable()
			room += s.Fillable()
		}
	}
	if room == 0 {
		return 0, false
	}
	return sum / room, true
}

// KindOf gives the kind of a space named by its id; the id of a kind itself
// ("dry", "tank") names that kind too.
func (v Vessel) KindOf(space string) (SpaceKind, bool) {
	for _, s := range v.Spaces {
		if s.ID == space {
			return s.Kind, true
		}
	}
	k := SpaceKind(space)
	return k, k.Known()
}

// GasCapacityKg is the gas all cylinders hold when full.
func (v Vessel) GasCapacityKg() float64 {
	sum := 0.0
	for _, c := range v.Cylinders {
		sum += c.Kg
	}
	return sum
}

// GasKg is the gas left in all cylinders.
func (v Vessel) GasKg() float64 {
	sum := 0.0
	for _, c := range v.Cylinders {
		sum += c.Kg * c.Full
	}
	return sum
}
