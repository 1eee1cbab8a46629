package tankage

// Figure is a published figure of water, with its source and evidence word.
type Figure struct {
	About    string  `json:"about"`
	Low      float64 `json:"low"`
	High     float64 `json:"high"`
	Unit     string  `json:"unit"`
	Source   string  `json:"source"`
	Evidence string  `json:"evidence"`
}

// WaterNeeds are what others reckon with.
func WaterNeeds() []Figure {
	return []Figure{
		{"survival: drinking and food", 2.5, 3, "L a person and day", "Sphere Handbook 2011 (quoted)", "read-secondary"},
		{"basic hygiene", 2, 6, "L a person and day", "Sphere Handbook 2011 (quoted)", "read-secondary"},
		{"basic cooking", 3, 6, "L a person and day", "Sphere Handbook 2011 (quoted)", "read-secondary"},
		{"all basic water", 7.5, 15, "L a person and day", "Sphere Handbook 2011 (quoted)", "read-secondary"},
		{"total water, men, food included; the larger is the 95th percentile", 2.5, 4, "L a day", "EFSA Journal 2010;8(3):1459", "read"},
		{"total water, women, food included; the larger is the 95th percentile", 2, 3.1, "L a day", "EFSA Journal 2010;8(3):1459", "read"},
		{"manual work in a hot climate", 4.5, 4.5, "L a person and day", "WHO, Howard & Bartram 2003 (quoted)", "read-secondary"},
		{"civil protection stock", 3, 3, "L a person and day", "Estonian Rescue Board", "read"},
		{"United States ships, statutory 1898: four quarts", 3.785, 3.785, "L a person and day", "Act of 21 Dec 1898 s. 23, 30 Stat. 762", "read"},
	}
}

// Least is the drinking and food water below which no plan should go, litres a
// person and day: the Sphere Handbook's survival figure.
const Least = 2.5

// WaterCaution belongs wherever treating water is spoken of.
const WaterCaution = "Treat with plain, unscented household bleach only, by its label; too much is poison, too little does nothing. " +
	"Never let chlorinated water reach the watermaker: chlorine destroys its membrane. Chlorine does not remove salt, fuel or chemicals. " +
	"The local health authority's word goes before this table."

// Dose is one row of the treatment table.
type Dose struct {
	Percent  string  `json:"percent"` // available chlorine as labelled
	PerGal   float64 `json:"drops_per_us_gallon"`
	PerLitre float64 `json:"drops_per_litre"`
	Source   string  `json:"source"`
	Evidence string  `json:"evidence"`
}

// litresPerGallon of the United States, exactly (NIST Handbook 44).
const litresPerGallon = 3.785411784

// dropML is a drop: a convention, droppers differ.
const dropML = 0.05

// Doses for clear water; double for cloudy, coloured or very cold. Stand for 30
// minutes; a slight smell of chlorine should remain, else once more and another
// 15 minutes (US EPA, Emergency Disinfection of Drinking Water).
func Doses() []Dose {
	const source = "US EPA, Emergency Disinfection of Drinking Water (leaflet, doses in a copy)"
	rows := []Dose{
		{"1 %", 40, 0, "US EPA, older leaflet, quoted", "read-secondary"},
		{"4–6 %", 8, 0, source, "read-secondary"},
		{"6 %", 8, 0, source, "read-secondary"},
		{"7–10 %", 4, 0, source, "read-secondary"},
		{"8.25 %", 6, 0, source, "read-secondary"},
	}
	for k := range rows {
		rows[k].PerLitre = rows[k].PerGal / litresPerGallon
	}
	return rows
}

// Bleach is the dose for a tank.
type Bleach struct {
	ML      float64 `json:"ml"`
	MgL     float64 `json:"mg_per_l"` // as sodium hypochlorite, weight by volume
	Caution string  `json:"caution"`
}

// printed are the rounded doses of the leaflet, in drops a litre, by percent:
// it prints two where eight to a gallon are 2.1.
var printed = []struct{ percent, drops float64 }{{6, 2}, {8.25, 2}}

// BleachFor is how much bleach of a strength disinfects so many litres; false
// for a strength no leaflet names, which is then not guessed.
func BleachFor(litres, percent float64, cloudy bool) (Bleach, bool) {
	for _, p := range printed {
		if p.percent != percent || litres <= 0 {
			continue
		}
		drops := p.drops
		if cloudy {
			drops *= 2
		}
		return Bleach{ML: drops * litres * dropML, MgL: drops * dropML * percent * 10, Caution: WaterCaution}, true
	}
	return Bleach{}, false
}

// Taste words the dissolved solids of a watermaker's or a quay's water, mg/L
// (WHO background document 1996/2003, quoted).
func Taste(mgL float64) string {
	switch {
	case mgL < 300:
		return "excellent"
	case mgL < 600:
		return "good"
	case mgL < 900:
		return "fair"
	case mgL < 1200:
		return "poor"
	}
	return "unacceptable"
}

// BoilMinutes of a rolling boil make clear water safe to drink: one, three above
// 1,524 m, which no sea is (US EPA).
const BoilMinutes = 1
