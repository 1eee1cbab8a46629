package tankage

// Properties of liquefied petroleum gas: Czech LPG engineering property table
// (kadatec) and a supplier's facts, read.
const (
	PropaneMJ     = 46.35 // lower heating value, MJ/kg
	ButaneMJ      = 45.74
	PropaneDense  = 0.498 // liquid, 20 °C, kg/L
	ButaneDense   = 0.578
	PropaneBoils  = -42.6 // °C
	ButaneBoils   = -0.5  // °C: butane gives no gas in a frost
	LiquidDensity = 0.54  // of the usual mixture, kg/L
	FillShare     = 0.80  // of the volume, at most 0.80–0.85
)

// burnerShare of a flame's heat reaches the water in a kettle: the assumption
// of the published figure.
const burnerShare = 0.45

// waterHeat is the heat capacity of water, MJ per kg and °C.
const waterHeat = 0.0041816

// BurnerGrams is what a burner of so many kilowatts burns in an hour, in grams
// of propane.
func BurnerGrams(kilowatt float64) float64 { return kilowatt * 3.6 / PropaneMJ * 1000 }

// KettleGrams is the propane that brings a litre from one temperature to
// another on a stove, in grams.
func KettleGrams(litres, from, to float64) float64 {
	return litres * waterHeat * (to - from) / (PropaneMJ * burnerShare) * 1000
}

// KWhPerKg is the energy of a kilogram of propane.
const KWhPerKg = PropaneMJ / 3.6

// Days is how long so much gas lasts so many people at a rate in kilograms a
// person and day; 0 when nobody uses any.
func Days(kg, people, perPersonDay float64) float64 {
	if people <= 0 || perPersonDay <= 0 {
		return 0
	}
	return kg / (people * perPersonDay)
}

// GasCaution belongs wherever gas is spoken of.
const GasCaution = "Gas sinks and collects in the bilge: cylinders only in a locker that drains overboard, closed at the bottle when not in use, " +
	"a detector low down, joints tested with soapy water and never a flame. Adapters, refills and any work on the system follow local codes and " +
	"a licensed fitter; never fill past 80 % of the volume, nor a cylinder out of test date."

// GasNotes are what to find out before a refill: common practice, no source.
func GasNotes() []string {
	return []string{
		"Two cylinders, so that an empty one is a warning; write down the day of every swap.",
		"Ask at each port which thread it fills, how long it takes, which days it is closed, and what test date it wants.",
		"Butane gives no gas below about 0 °C; propane stands the cold and wants the cylinder and regulator made for it.",
		"A pressure cooker, a lid and a flask cut use by about a third; daily bread from the oven nearly doubles it.",
		"A ferry, a ship or a plane does not take cylinders: they do not come as luggage.",
	}
}
