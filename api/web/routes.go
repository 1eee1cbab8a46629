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
		{"GET /prefs", s.getPrefs},
		{"POST /prefs", s.postPrefs},
	}
}
