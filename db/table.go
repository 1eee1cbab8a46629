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
		"reporter", "source", "quality", "origin", "note", "replaces", "seq",
	}, order: "id"}
	documentTable = table{name: "document", columns: []string{"kind", "id", "revision", "body"}, order: "kind, id"}
	lotTable      = table{name: "lot", columns: []string{
		"vessel", "id", "item", "space", "quantity", "bought", "best_before", "note", "place",
	}, order: "vessel, place"}
	rateTable     = table{name: "rate", columns: []string{"currency", "day", "per_reference", "source"}, reals: []string{"per_reference"}, order: "currency, day"}
	recordTable   = table{name: "record", columns: []string{"source", "number", "report", "chain", "said", "carrier"}, order: "source, number"}
	headTable     = table{name: "head", columns: []string{"source", "top", "chain"}, order: "source"}
	peerTable     = table{name: "peer", columns: []string{"id", "epoch", "pulled", "pushed_seq", "pushed_id", "at_ms"}, order: "id"}
	numberedTable = table{name: "numbered", columns: []string{"seq"}, order: "seq"}
	metaTable     = table{name: "meta", columns: []string{"name", "value"}, order: "name"}
)

// tables are all there are, in an order in which rows may be put back.
var tables = []table{changeTable, reportTable, documentTable, lotTable, rateTable, metaTable, recordTable, headTable, peerTable, numberedTable}
