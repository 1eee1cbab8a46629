package db

// table is what bulk loading, backup and restore know of a table.
type table struct {
	name    string
	columns []string // as the backup has them; text or whole numbers
	reals   []string // those of the columns that are neither
	order   string   // one order of the rows, whatever the database
}

var (
	changeTable = table{name: "change", columns: []string{"seq", "at_ms", "kind", "ref", "what", "facts"}, order: "seq"}
	reportTable = table{name: "report", columns: []string{
		"id", "port", "item", "day", "found", "paid_minor", "currency", "pack", "shop",
		"reporter", "source", "quality", "origin", "note", "replaces", "seq", "received_ms",
	}, order: "id"}
	documentTable = table{name: "document", columns: []string{"kind", "id", "revision", "body"}, order: "kind, id"}
	lotTable      = table{name: "lot", columns: []string{
		"vessel", "id", "item", "space", "quantity", "bought", "best_before", "note", "place",
		"locker", "pack", "port", "opened", "purpose",
	}, order: "vessel, place"}
	lockerTable = table{name: "locker", columns: []string{
		"vessel", "id", "space", "litres", "max_kg", "wet", "hot", "at_sea", "low", "sealed", "side", "temp", "read_on", "place",
	}, reals: []string{"litres", "max_kg"}, order: "vessel, place"}
	moveTable = table{name: "move", columns: []string{
		"vessel", "id", "seq", "place", "day", "kind", "lot", "item", "quantity", "from_place", "to_place", "cause", "party",
		"loan", "purpose", "port", "paid_minor", "currency", "note",
	}, order: "vessel, seq, place"}
	countTable = table{name: "count_line", columns: []string{
		"vessel", "seq", "day", "item", "book", "counted", "spoilt", "used", "found", "missing", "mark",
	}, order: "vessel, seq, item"}
	usageTable = table{name: "usage", columns: []string{
		"vessel", "crew", "need", "from_day", "to_day", "person_days", "used", "ran_out", "guessed",
	}, reals: []string{"person_days", "used"}, order: "vessel, crew, need, to_day"}
	logTable = table{name: "log_entry", columns: []string{
		"vessel", "id", "seq", "day", "kind", "amount", "place", "item", "note",
	}, reals: []string{"amount"}, order: "vessel, seq, id"}
	rateTable     = table{name: "rate", columns: []string{"currency", "day", "per_reference", "source"}, reals: []string{"per_reference"}, order: "currency, day"}
	recordTable   = table{name: "record", columns: []string{"source", "number", "report", "chain", "said", "carrier"}, order: "source, number"}
	headTable     = table{name: "head", columns: []string{"source", "top", "chain"}, order: "source"}
	peerTable     = table{name: "peer", columns: []string{"id", "source", "epoch", "pulled", "pushed_seq", "pushed_id", "stuck", "at_ms"}, order: "id"}
	numberedTable = table{name: "numbered", columns: []string{"seq"}, order: "seq"}
	accountTable  = table{name: "account", columns: []string{"id", "name", "role", "password", "state", "created_ms"}, order: "id"}
	keyTable      = table{name: "access_key", columns: []string{
		"prefix", "account", "sum", "scopes", "label", "created_ms", "ends_ms", "revoked_ms", "used_ms",
	}, order: "prefix"}
	factorTable     = table{name: "second_factor", columns: []string{"account", "secret", "since_ms", "step"}, order: "account"}
	recoveryTable   = table{name: "recovery_code", columns: []string{"account", "sum"}, order: "account, sum"}
	invitationTable = table{name: "invitation", columns: []string{"sum", "role", "issuer", "created_ms", "ends_ms", "used_by"}, order: "sum"}
	authorTable     = table{name: "author", columns: []string{"reporter", "account"}, order: "reporter"}
	auditTable      = table{name: "audit", columns: []string{"seq", "at_ms", "account", "what", "ref"}, order: "seq"}
	verdictTable    = table{name: "verdict", columns: []string{"report", "verdict", "account", "at_ms"}, order: "report"}
	publishedTable  = table{name: "published", columns: []string{"id", "seq", "number", "report", "day", "paid_minor", "currency", "pack", "replaces"}, order: "number"}
	metaTable       = table{name: "meta", columns: []string{"name", "value"}, order: "name"}
)

// Tables that follow from others, on either database.
const (
	poolsName = "pool"
	sumsName  = "sums"
)

// tables are all there are but what follows from them, in an order in which rows may be put back.
var tables = []table{
	changeTable, reportTable, documentTable, lotTable, rateTable, metaTable, recordTable, headTable, peerTable, numberedTable,
	lockerTable, moveTable, countTable, usageTable, logTable,
	accountTable, keyTable, factorTable, recoveryTable, invitationTable, authorTable, auditTable, verdictTable, publishedTable,
}
