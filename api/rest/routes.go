package rest

import (
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/labstack/echo/v4"
)

type endpoint struct {
	method, path string
	handle       echo.HandlerFunc
}

// endpoints are all there are; openapi.yaml tells the same, which a test checks.
func (s *server) endpoints() []endpoint {
	return []endpoint{
		{"GET", "/healthz", s.alive},
		{"GET", "/readyz", s.ready},
		{"GET", "/v1/openapi.yaml", s.documentYAML},
		{"GET", "/v1/openapi.json", s.documentJSON},

		{"GET", "/v1/reports", s.listReports},
		{"POST", "/v1/reports", s.postReports},
		{"GET", "/v1/reports/:report", s.getReport},
		{"PUT", "/v1/reports/:report", s.putReport},
		{"POST", "/v1/reports/:report/withdrawal", s.withdrawReport},
		{"POST", "/v1/receipts", s.postReceipt},
		{"POST", "/v1/imports", s.postImport},
		{"POST", "/v1/exchange", s.postExchange},

		{"POST", "/v1/accounts", s.postAccount},
		{"GET", "/v1/accounts", s.listAccounts},
		{"PUT", "/v1/accounts/:account/state", s.putAccountState},
		{"POST", "/v1/logins", s.postLogin},
		{"GET", "/v1/account", s.getAccount},
		{"DELETE", "/v1/account", s.deleteAccount},
		{"PUT", "/v1/account/password", s.putPassword},
		{"POST", "/v1/account/second-factor", s.postFactor},
		{"PUT", "/v1/account/second-factor", s.putFactor},
		{"POST", "/v1/account/second-factor/removal", s.postFactorRemoval},
		{"GET", "/v1/keys", s.listKeys},
		{"POST", "/v1/keys", s.postKey},
		{"DELETE", "/v1/keys/:key", s.deleteKey},
		{"POST", "/v1/invitations", s.postInvitation},
		{"GET", "/v1/doubtful", s.listDoubtful},
		{"PUT", "/v1/doubtful/:report", s.putVerdict},
		{"GET", "/v1/standouts", s.listStandouts},
		{"GET", "/v1/audit", s.listAudit},

		{"GET", "/v1/questioned", s.getQuestioned},
		{"GET", "/v1/estimates", s.getEstimates},
		{"POST", "/v1/estimates", s.postEstimates},
		{"GET", "/v1/estimates/why", s.getWhy},
		{"GET", "/v1/rates", s.getRates},
		{"PUT", "/v1/rates/:currency/:day", s.putRate},

		{"GET", "/v1/ports", s.listPorts},
		{"GET", "/v1/ports/:port", s.getPort},
		{"PUT", "/v1/ports/:port", s.putPort},
		{"DELETE", "/v1/ports/:port", s.deletePort},
		{"GET", "/v1/items", s.listItems},
		{"GET", "/v1/items/:item", s.getItem},

		{"GET", "/v1/vessels", s.listVessels},
		{"GET", "/v1/vessels/:vessel", s.getVessel},
		{"PUT", "/v1/vessels/:vessel", s.putVessel},
		{"DELETE", "/v1/vessels/:vessel", s.deleteVessel},
		{"GET", "/v1/vessels/:vessel/aboard", s.getAboard},
		{"PUT", "/v1/vessels/:vessel/aboard", s.putAboard},
		{"POST", "/v1/vessels/:vessel/aboard/changes", s.changeAboard},
		{"PUT", "/v1/vessels/:vessel/aboard/count", s.putCount},
		{"GET", "/v1/vessels/:vessel/count-sheet", s.getCountSheet},
		{"GET", "/v1/vessels/:vessel/lockers", s.getLockers},
		{"PUT", "/v1/vessels/:vessel/lockers", s.putLockers},
		{"GET", "/v1/vessels/:vessel/find", s.findAboard},
		{"GET", "/v1/vessels/:vessel/moves", s.listMoves},
		{"POST", "/v1/vessels/:vessel/moves", s.postMove},
		{"GET", "/v1/vessels/:vessel/usage", s.getUsage},
		{"GET", "/v1/vessels/:vessel/use-first", s.getUseFirst},
		{"GET", "/v1/vessels/:vessel/fridge-off", s.getFridgeOff},
		{"GET", "/v1/vessels/:vessel/arrival", s.getArrival},
		{"GET", "/v1/vessels/:vessel/water", s.getWater},
		{"GET", "/v1/vessels/:vessel/gas", s.getGas},
		{"GET", "/v1/vessels/:vessel/pests", s.getPests},
		{"GET", "/v1/vessels/:vessel/stow", s.getStow},
		{"GET", "/v1/vessels/:vessel/hints", s.getHints},
		{"GET", "/v1/vessels/:vessel/log", s.listLog},
		{"POST", "/v1/vessels/:vessel/log", s.postLog},
		{"GET", "/v1/vessels/:vessel/review", s.getReview},
		{"GET", "/v1/vessels/:vessel/ledger", s.getLedger},
		{"GET", "/v1/vessels/:vessel/export", s.exportAboard},
		{"GET", "/v1/crews", s.listCrews},
		{"GET", "/v1/crews/:crew", s.getCrew},
		{"PUT", "/v1/crews/:crew", s.putCrew},
		{"DELETE", "/v1/crews/:crew", s.deleteCrew},

		{"GET", "/v1/voyages", s.listVoyages},
		{"POST", "/v1/voyages/from-gpx", s.voyageFromGPX},
		{"GET", "/v1/voyages/:voyage", s.getVoyage},
		{"PUT", "/v1/voyages/:voyage", s.putVoyage},
		{"DELETE", "/v1/voyages/:voyage", s.deleteVoyage},
		{"GET", "/v1/voyages/:voyage/itinerary", s.getItinerary},
		{"GET", "/v1/voyages/:voyage/settings", s.getSettings},
		{"PUT", "/v1/voyages/:voyage/settings", s.putSettings},
		{"GET", "/v1/voyages/:voyage/brief", s.getBrief},
		{"GET", "/v1/voyages/:voyage/plan", s.getPlan},
		{"POST", "/v1/voyages/:voyage/plan", s.postPlan},
		{"POST", "/v1/voyages/:voyage/replan", s.postReplan},
		{"POST", "/v1/voyages/:voyage/risk", s.postRisk},
		{"POST", "/v1/voyages/:voyage/binds", s.postBinds},
		{"GET", "/v1/voyages/:voyage/list", s.getList},
		{"GET", "/v1/voyages/:voyage/fed", s.getFed},
		{"GET", "/v1/voyages/:voyage/ahead", s.getAhead},
		{"GET", "/v1/voyages/:voyage/worth", s.getWorth},
		{"GET", "/v1/voyages/:voyage/shelf", s.getShelf},
		{"POST", "/v1/voyages/:voyage/shelf", s.postShelf},

		{"GET", "/v1/stores-lists", s.listStoresLists},
		{"GET", "/v1/stores-lists/:list", s.getStoresList},
		{"PUT", "/v1/stores-lists/:list", s.putStoresList},
		{"DELETE", "/v1/stores-lists/:list", s.deleteStoresList},
		{"POST", "/v1/scale", s.postScale},
	}
}

func (s *server) routes(e *echo.Echo) {
	for _, p := range s.endpoints() {
		e.Add(p.method, p.path, named(s.guarded(p)))
	}
}

// named wants every name in a path to be there: an empty one is no path.
func named(handle echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if slices.ContainsFunc(c.ParamValues(), nameless) {
			return echo.ErrNotFound
		}
		return handle(c)
	}
}

// nameless is what is no name at all, or no text.
func nameless(s string) bool {
	return s == "" || !utf8.ValidString(s) || strings.ContainsRune(s, 0)
}

// Routes are the method and path of everything served, as the document writes
// them, sorted.
func Routes() []string {
	s := &server{}
	var out []string
	for _, p := range s.endpoints() {
		parts := strings.Split(p.path, "/")
		for i, part := range parts {
			if name, ok := strings.CutPrefix(part, ":"); ok {
				parts[i] = "{" + name + "}"
			}
		}
		out = append(out, p.method+" "+strings.Join(parts, "/"))
	}
	slices.Sort(out)
	return out
}
