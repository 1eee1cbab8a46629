-- The schema this database really has. A migration's last statement sets it in
-- the migration's own transaction, so it is right whatever was interrupted.
CREATE TABLE schema_mark (
	version BIGINT NOT NULL
);
INSERT INTO schema_mark (version) VALUES (1);

-- One row for every write, numbered in commit order.
CREATE TABLE change (
	seq   BIGINT PRIMARY KEY,
	at_ms BIGINT NOT NULL, -- Unix milliseconds, for people; order comes from seq
	kind  TEXT COLLATE "C" NOT NULL, -- report, rate, lot, or the kind of a document
	ref   TEXT COLLATE "C" NOT NULL, -- which one; empty for many
	what  TEXT COLLATE "C" NOT NULL, -- add, put, delete
	facts BIGINT NOT NULL
);
CREATE INDEX change_kind ON change (kind, ref, seq);

-- Facts somebody saw: added, never changed, never deleted.
CREATE TABLE report (
	id         TEXT COLLATE "C" PRIMARY KEY, -- UUID
	port       TEXT COLLATE "C" NOT NULL,
	item       TEXT COLLATE "C" NOT NULL,
	day        TEXT COLLATE "C" NOT NULL, -- YYYY-MM-DD
	found      TEXT COLLATE "C" NOT NULL,
	paid_minor BIGINT NOT NULL, -- 0 unless found is yes
	currency   TEXT COLLATE "C" NOT NULL,
	pack       BIGINT NOT NULL, -- millionths of the item's unit
	shop       TEXT COLLATE "C" NOT NULL,
	reporter   TEXT COLLATE "C" NOT NULL,
	source     TEXT COLLATE "C" NOT NULL,
	quality    BIGINT NOT NULL,
	origin     TEXT COLLATE "C" NOT NULL,
	note       TEXT COLLATE "C" NOT NULL,
	replaces   TEXT COLLATE "C" NOT NULL,
	seq        BIGINT NOT NULL -- the change it came with
);
CREATE INDEX report_seq ON report (seq);
CREATE INDEX report_day ON report (day, id);
CREATE INDEX report_port ON report (port, day, id);
CREATE INDEX report_item ON report (item, port, day, id);
CREATE INDEX report_reporter ON report (reporter, day, id);
CREATE INDEX report_replaces ON report (replaces) WHERE replaces <> '';

-- Vessels, crews, voyages, plans and the like: JSON the core's types own. The
-- database answers for identity and revision.
CREATE TABLE document (
	kind     TEXT COLLATE "C" NOT NULL,
	id       TEXT COLLATE "C" NOT NULL,
	revision BIGINT NOT NULL, -- the change that wrote it
	body     TEXT COLLATE "C" NOT NULL,
	PRIMARY KEY (kind, id)
);

-- What is aboard.
CREATE TABLE lot (
	vessel      TEXT COLLATE "C" NOT NULL,
	id          TEXT COLLATE "C" NOT NULL,
	item        TEXT COLLATE "C" NOT NULL,
	space       TEXT COLLATE "C" NOT NULL,
	quantity    BIGINT NOT NULL CHECK (quantity > 0), -- millionths of the item's unit
	bought      TEXT COLLATE "C" NOT NULL, -- YYYY-MM-DD or empty
	best_before TEXT COLLATE "C" NOT NULL,
	note        TEXT COLLATE "C" NOT NULL,
	place       BIGINT NOT NULL, -- in the list
	PRIMARY KEY (vessel, id)
);

-- Rates of exchange added to those the program comes with.
CREATE TABLE rate (
	currency      TEXT COLLATE "C" NOT NULL,
	day           TEXT COLLATE "C" NOT NULL,
	per_reference DOUBLE PRECISION NOT NULL CHECK (per_reference > 0),
	source        TEXT COLLATE "C" NOT NULL,
	PRIMARY KEY (currency, day)
);

-- Facts about this database itself.
CREATE TABLE meta (
	name  TEXT COLLATE "C" PRIMARY KEY,
	value TEXT COLLATE "C" NOT NULL
);
