package search

// care is how a dive settles packs.
type care struct {
	fine  int  // needs it settles last, no longer roughly
	hard  bool // of some needs the one first that it costs most to settle, else the one that costs least
	parts int  // of a need's packs looked into where it is dear to settle them
	hasty bool // packs are shared out in the usual orders only
}

func quickly() care { return care{fine: 4, hasty: true} }

func carefully() care { return care{fine: 15, hard: true, parts: 100} }

func groupwise() care { return care{hard: true, parts: 12} }
