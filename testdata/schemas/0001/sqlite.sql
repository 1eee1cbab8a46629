-- The schema this database really has. A migration's last statement sets it in
-- the migration's own transaction, so it is right whatever was interrupted.
CREATE TABLE schema_mark (
	version INTEGER NOT NULL
) STRICT;
INSERT INTO schema_mark (version) VALUES (1);

-- One row for every write, numbered in commit order.
CREATE TABLE change (
	seq   INTEGER PRIMARY KEY,
	at_ms INTEGER NOT NULL, -- Unix milliseconds, for people; order comes from seq
	kind  TEXT NOT NULL, -- report, rate, lot, or the kind of a document
	ref   TEXT NOT NULL, -- which one; empty for many
	what  TEXT NOT NULL, -- add, put, delete
	facts INTEGER NOT NULL
) STRICT;
CREATE INDEX change_kind ON change (kind, ref, seq);

-- Facts somebody saw: added, never changed, never deleted.
CREATE TABLE report (
	id         TEXT PRIMARY KEY, -- UUID
	port       TEXT NOT NULL,
	item       TEXT NOT NULL,
	day        TEXT NOT NULL, -- YYYY-MM-DD
	found      TEXT NOT NULL,
	paid_minor INTEGER NOT NULL, -- 0 unless found is yes
	currency   TEXT NOT NULL,
	pack       INTEGER NOT NULL, -- millionths of the item's unit
	shop       TEXT NOT NULL,
	reporter   TEXT NOT NULL,
	source     TEXT NOT NULL,
	quality    INTEGER NOT NULL,
	origin     TEXT NOT NULL,
	note       TEXT NOT NULL,
	replaces   TEXT NOT NULL,
	seq        INTEGER NOT NULL -- the change it came with
) STRICT;
CREATE INDEX report_seq ON report (seq);
CREATE INDEX report_day ON report (day, id);
CREATE INDEX report_port ON report (port, day, id);
CREATE INDEX report_item ON report (item, port, day, id);
CREATE INDEX report_reporter ON report (reporter, day, id);
CREATE INDEX report_replaces ON report (replaces) WHERE replaces <> '';

-- Vessels, crews, voyages, plans and the like: JSON the core's types own. The
-- database answers for identity and revision.
CREATE TABLE document (
	kind     TEXT NOT NULL,
	id       TEXT NOT NULL,
	revision INTEGER NOT NULL, -- the change that wrote it
	body     TEXT NOT NULL,
	PRIMARY KEY (kind, id)
) STRICT;

-- What is aboard.
CREATE TABLE lot (
	vessel      TEXT NOT NULL,
	id          TEXT NOT NULL,
	item        TEXT NOT NULL,
	space       TEXT NOT NULL,
	quantity    INTEGER NOT NULL CHECK (quantity > 0), -- millionths of the item's unit
	bought      TEXT NOT NULL, -- YYYY-MM-DD or empty
	best_before TEXT NOT NULL,
	note        TEXT NOT NULL,
	place       INTEGER NOT NULL, -- in the list
	PRIMARY KEY (vessel, id)
) STRICT;

-- Rates of exchange added to those the program comes with.
CREATE TABLE rate (
	currency      TEXT NOT NULL,
	day           TEXT NOT NULL,
	per_reference REAL NOT NULL CHECK (per_reference > 0),
	source        TEXT NOT NULL,
	PRIMARY KEY (currency, day)
) STRICT;

-- Facts about this database itself.
CREATE TABLE meta (
	name  TEXT PRIMARY KEY,
	value TEXT NOT NULL
) STRICT;
