package web

func (s *site) routes() []endpoint {
	return []endpoint{
		{"GET /{$}", s.home},
		{"GET /start", s.getStart},
		{"POST /start", s.postStart},
		{"GET /voyage/{voyage}", s.getSeason},
		{"POST /voyage/{voyage}/plan", s.postPlan},
		{"GET /voyage/{voyage}/edit", s.getEdit},
		{"POST /voyage/{voyage}/edit", s.postEdit},
		{"GET /voyage/{voyage}/ashore", s.getAshore},
		{"GET /voyage/{voyage}/ashore/{stop}", s.getShop},
		{"POST /voyage/{voyage}/ashore/{stop}", s.postShop},
		{"GET /voyage/{voyage}/ashore/{stop}/receipt", s.getReceipt},
		{"POST /voyage/{voyage}/ashore/{stop}/receipt", s.postReceipt},
		{"GET /voyage/{voyage}/ahead", s.getAhead},
		{"GET /voyage/{voyage}/prices", s.getPrices},
		{"GET /voyage/{voyage}/prices/{port}/{item}", s.getCell},
		{"POST /voyage/{voyage}/prices/{port}/{item}", s.postWithdraw},
		{"GET /voyage/{voyage}/report", s.getReport},
		{"POST /voyage/{voyage}/report", s.postReport},
		{"GET /voyage/{voyage}/import", s.getImport},
		{"POST /voyage/{voyage}/import", s.postImport},
		{"GET /aisles", s.getAisles},
		{"POST /aisles", s.postAisles},
		{"GET /prefs", s.getPrefs},
		{"POST /prefs", s.postPrefs},
	}
}
