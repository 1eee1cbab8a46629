package pest

// Treatment is a way to kill what is in a pack.
type Treatment struct {
	Name     string `json:"name"`
	How      string `json:"how"`
	Source   string `json:"source"`
	Evidence string `json:"evidence"` // read, read-secondary, trade
	Caution  string `json:"caution"`
}

// Treatments are those of the reference, and what to do without freezer or oven.
func Treatments() []Treatment {
	return []Treatment{
		{
			"freeze", "−18 °C or colder for 4 days, small flat packs, counted from when the middle is frozen; then dry before it is opened",
			"US extension summary; Flinn et al. 2015 J. Stored Prod. Res. 63:42 for how slowly a big pack cools", "read-secondary",
			"A freezer that only gets to −10 °C takes weeks: do not rely on it.",
		},
		{
			"heat", "spread on a tray, 54 °C for 30 minutes (130 °F), or 60 °C where an oven holds it better",
			"Utah State University Extension (Glogoza 2005)", "read",
			"It kills seeds for sprouting too and may scorch flour. An oven aboard is never left alone with gas burning.",
		},
		{
			"no air", "below 1 % oxygen for 12 days or more in a tight jar with absorbers", "USU Extension (Thompson 2009)", "read",
			"Never eat the absorber; keep it from children. Not for moist food.",
		},
		{
			"throw away", "a closed bag, ashore, in a bin; note the port and the shop; wash and dry the locker, vacuum the seams", "common practice", "trade",
			"Never over the side on a reef or within the limits of MARPOL Annex V.",
		},
	}
}

// BaitCaution belongs wherever bait or spray is spoken of.
const BaitCaution = "Baits and sprays are poisons: follow the label, gloves on, out of reach of children and pets, never in a food locker or " +
	"near open food, never decanted into a food jar. On swallowing call a poison centre or a doctor at once."

// Hints are for buying and stowing: common practice, no source.
func Hints() []string {
	return []string{
		"Buy grain, flour and pasta in packs you can see through; hold them to the light; leave dusty ones on the shelf.",
		"No cardboard, no paper labels, no fruit stalks below: cockroaches and their eggs ride on them.",
		"Dip banana bunches and rinse greens on the dock; shake out nets and bags.",
		"Jars with screw lids, one pack to a jar, the port and day on the lid.",
	}
}
