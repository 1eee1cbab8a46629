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
-- The order of arrival, whole: a feed goes on after any report in it.
DROP INDEX report_seq;
CREATE INDEX report_seq ON report (seq, id);

-- Which database a report was first kept in, and its number there.
CREATE TABLE record (
	source  TEXT COLLATE "C" NOT NULL,
	number  BIGINT NOT NULL CHECK (number > 0),
	report  TEXT COLLATE "C" NOT NULL,
	chain   BIGINT NOT NULL, -- sums up the numbers before it; 0 while there is a gap
	said    TEXT COLLATE "C" NOT NULL, -- the day as its boat said it, where that was in the future
	carrier TEXT COLLATE "C" NOT NULL, -- who brought it; empty: entered here
	PRIMARY KEY (source, number)
);
CREATE UNIQUE INDEX record_report ON record (report);
CREATE INDEX record_said ON record (report) WHERE said <> '';

-- Up to where a source's records are known without a gap.
CREATE TABLE head (
	source TEXT COLLATE "C" PRIMARY KEY,
	top    BIGINT NOT NULL,
	chain  BIGINT NOT NULL
);

-- Up to which change the reports entered here have a number.
CREATE TABLE numbered (
	seq BIGINT NOT NULL
);

-- How far the exchange with another database has come.
CREATE TABLE peer (
	id         TEXT COLLATE "C" PRIMARY KEY,
	source     TEXT COLLATE "C" NOT NULL,
	epoch      TEXT COLLATE "C" NOT NULL,
	pulled     TEXT COLLATE "C" NOT NULL,
	pushed_seq BIGINT NOT NULL,
	pushed_id  TEXT COLLATE "C" NOT NULL,
	stuck      BIGINT NOT NULL, -- offering records from this number on again did not help; 0: not so
	at_ms      BIGINT NOT NULL
);

UPDATE schema_mark SET version = 2;
-- What is known of a lot beyond how much of it lies in which space.
ALTER TABLE lot ADD COLUMN locker TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE lot ADD COLUMN pack BIGINT NOT NULL DEFAULT 0; -- millionths of the item's unit
ALTER TABLE lot ADD COLUMN port TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE lot ADD COLUMN opened TEXT COLLATE "C" NOT NULL DEFAULT ''; -- YYYY-MM-DD or empty
ALTER TABLE lot ADD COLUMN purpose TEXT COLLATE "C" NOT NULL DEFAULT ''; -- barter, emergency, bonded; empty: to be eaten

-- Named places within the spaces of a vessel.
CREATE TABLE locker (
	vessel TEXT COLLATE "C" NOT NULL,
	id     TEXT COLLATE "C" NOT NULL,
	space  TEXT COLLATE "C" NOT NULL,
	litres DOUBLE PRECISION NOT NULL,
	max_kg DOUBLE PRECISION NOT NULL,
	wet    BIGINT NOT NULL, -- 0 or 1, as the next four
	hot    BIGINT NOT NULL,
	at_sea BIGINT NOT NULL,
	low    BIGINT NOT NULL,
	sealed BIGINT NOT NULL,
	side   TEXT COLLATE "C" NOT NULL,
	temp   TEXT COLLATE "C" NOT NULL, -- °C as a decimal, or empty
	read_on TEXT COLLATE "C" NOT NULL,
	place  BIGINT NOT NULL, -- in the list
	PRIMARY KEY (vessel, id)
);

-- The stores book: what came, went, was moved or opened. Lines are added,
-- never changed.
CREATE TABLE move (
	vessel     TEXT COLLATE "C" NOT NULL,
	id         TEXT COLLATE "C" NOT NULL,
	seq        BIGINT NOT NULL, -- the change it came with
	place      BIGINT NOT NULL, -- within that change
	day        TEXT COLLATE "C" NOT NULL,
	kind       TEXT COLLATE "C" NOT NULL,
	lot        TEXT COLLATE "C" NOT NULL,
	item       TEXT COLLATE "C" NOT NULL,
	quantity   BIGINT NOT NULL CHECK (quantity > 0), -- millionths of the item's unit
	from_place TEXT COLLATE "C" NOT NULL,
	to_place   TEXT COLLATE "C" NOT NULL,
	cause      TEXT COLLATE "C" NOT NULL,
	party      TEXT COLLATE "C" NOT NULL,
	loan       BIGINT NOT NULL,
	purpose    TEXT COLLATE "C" NOT NULL,
	port       TEXT COLLATE "C" NOT NULL,
	paid_minor BIGINT NOT NULL,
	currency   TEXT COLLATE "C" NOT NULL,
	note       TEXT COLLATE "C" NOT NULL,
	PRIMARY KEY (vessel, id)
);
CREATE INDEX move_day ON move (vessel, day, seq, place);

-- What each count found, item by item.
CREATE TABLE count_line (
	vessel  TEXT COLLATE "C" NOT NULL,
	seq     BIGINT NOT NULL, -- the change it came with
	day     TEXT COLLATE "C" NOT NULL,
	item    TEXT COLLATE "C" NOT NULL,
	book    BIGINT NOT NULL, -- millionths of the item's unit, as the next five
	counted BIGINT NOT NULL,
	spoilt  BIGINT NOT NULL,
	used    BIGINT NOT NULL,
	found   BIGINT NOT NULL,
	missing BIGINT NOT NULL, -- of what was not for the table
	mark    TEXT COLLATE "C" NOT NULL, -- ran out, left over, hated; or empty
	PRIMARY KEY (vessel, seq, item)
);

-- What a crew used of a need between two counts.
CREATE TABLE usage (
	vessel      TEXT COLLATE "C" NOT NULL,
	crew        TEXT COLLATE "C" NOT NULL,
	need        TEXT COLLATE "C" NOT NULL,
	from_day    TEXT COLLATE "C" NOT NULL,
	to_day      TEXT COLLATE "C" NOT NULL,
	person_days DOUBLE PRECISION NOT NULL CHECK (person_days >= 0),
	used        DOUBLE PRECISION NOT NULL CHECK (used >= 0),
	ran_out     BIGINT NOT NULL,
	guessed     BIGINT NOT NULL,
	PRIMARY KEY (vessel, crew, need, to_day)
);

-- The stores' log of a passage: exceptions only, added and never changed.
CREATE TABLE log_entry (
	vessel TEXT COLLATE "C" NOT NULL,
	id     TEXT COLLATE "C" NOT NULL,
	seq    BIGINT NOT NULL,
	day    TEXT COLLATE "C" NOT NULL,
	kind   TEXT COLLATE "C" NOT NULL,
	amount DOUBLE PRECISION NOT NULL,
	place  TEXT COLLATE "C" NOT NULL,
	item   TEXT COLLATE "C" NOT NULL,
	note   TEXT COLLATE "C" NOT NULL,
	PRIMARY KEY (vessel, id)
);

UPDATE schema_mark SET version = 3;
-- Who may use a shared server. A boat alone needs none of this.
CREATE TABLE account (
	id         TEXT COLLATE "C" PRIMARY KEY,
	name       TEXT COLLATE "C" NOT NULL UNIQUE, -- folded
	role       TEXT COLLATE "C" NOT NULL, -- boat, skipper, moderator
	password   TEXT COLLATE "C" NOT NULL, -- argon2id; empty: none
	state      TEXT COLLATE "C" NOT NULL, -- active, suspended, erased
	created_ms BIGINT NOT NULL
);

-- Keys are shown once; what is kept is their sum.
CREATE TABLE access_key (
	prefix     TEXT COLLATE "C" PRIMARY KEY, -- shown, to tell keys apart
	account    TEXT COLLATE "C" NOT NULL,
	sum        TEXT COLLATE "C" NOT NULL, -- SHA-256, hexadecimal
	scopes     TEXT COLLATE "C" NOT NULL, -- words with blanks between
	label      TEXT COLLATE "C" NOT NULL,
	created_ms BIGINT NOT NULL,
	ends_ms    BIGINT NOT NULL, -- 0: when it is revoked
	revoked_ms BIGINT NOT NULL -- 0: it is not
);
CREATE INDEX access_key_account ON access_key (account, created_ms);

CREATE TABLE invitation (
	sum        TEXT COLLATE "C" PRIMARY KEY,
	role       TEXT COLLATE "C" NOT NULL,
	issuer     TEXT COLLATE "C" NOT NULL,
	created_ms BIGINT NOT NULL,
	ends_ms    BIGINT NOT NULL,
	used_by    TEXT COLLATE "C" NOT NULL
);

-- Which account reports under which reporter's id.
CREATE TABLE author (
	reporter TEXT COLLATE "C" PRIMARY KEY,
	account  TEXT COLLATE "C" NOT NULL
);
CREATE INDEX author_account ON author (account, reporter);

-- Who did what to accounts and to others' reports.
CREATE TABLE audit (
	seq     BIGINT PRIMARY KEY, -- of the change it came with
	at_ms   BIGINT NOT NULL,
	account TEXT COLLATE "C" NOT NULL, -- who; empty: by command on the server
	what    TEXT COLLATE "C" NOT NULL,
	ref     TEXT COLLATE "C" NOT NULL
);
CREATE INDEX audit_account ON audit (account, seq);

-- What moderators decided about reports that were questioned.
CREATE TABLE verdict (
	report  TEXT COLLATE "C" PRIMARY KEY,
	verdict TEXT COLLATE "C" NOT NULL, -- keep, leave_out
	account TEXT COLLATE "C" NOT NULL,
	at_ms   BIGINT NOT NULL
);

-- A second wall: a connection that works for an account sees that account's
-- rows only, whatever the statement says. Without an account named, it is the
-- server at its own work.
ALTER TABLE access_key ENABLE ROW LEVEL SECURITY;
ALTER TABLE access_key FORCE ROW LEVEL SECURITY;
CREATE POLICY own_rows ON access_key USING (COALESCE(current_setting('hardtack.account', true), '') IN ('', account));
ALTER TABLE author ENABLE ROW LEVEL SECURITY;
ALTER TABLE author FORCE ROW LEVEL SECURITY;
CREATE POLICY own_rows ON author USING (COALESCE(current_setting('hardtack.account', true), '') IN ('', account));
ALTER TABLE account ENABLE ROW LEVEL SECURITY;
ALTER TABLE account FORCE ROW LEVEL SECURITY;
CREATE POLICY own_rows ON account USING (COALESCE(current_setting('hardtack.account', true), '') IN ('', id));

UPDATE schema_mark SET version = 4;
-- What is told to everybody: reports whose turn has come, without whose they
-- are. The id is drawn for it, the day is that of a whole month or year.
CREATE TABLE published (
	id       TEXT COLLATE "C" PRIMARY KEY,
	seq      BIGINT NOT NULL, -- the change it came with
	number   BIGINT NOT NULL, -- among all that is told, from 1 without a gap
	report   TEXT COLLATE "C" NOT NULL UNIQUE, -- which one it is: never told
	day      TEXT COLLATE "C" NOT NULL, -- YYYY-MM-DD
	paid_minor BIGINT NOT NULL, -- of a usual pack, about
	currency TEXT COLLATE "C" NOT NULL,
	pack     BIGINT NOT NULL,
	replaces TEXT COLLATE "C" NOT NULL -- what is told of the report it corrects
);
CREATE INDEX published_seq ON published (seq, id);

UPDATE schema_mark SET version = 5;
-- Reports lie by the month in which they came in, each month a table of its
-- own. All of a boat's questions name a port: with the port in its key the table
-- can also be spread over several servers by port.
ALTER TABLE report RENAME TO report_whole;
ALTER INDEX report_pkey RENAME TO report_whole_pkey;
DROP INDEX report_seq, report_day, report_port, report_item, report_reporter, report_replaces;

CREATE TABLE report (
	id         TEXT COLLATE "C" NOT NULL, -- UUID
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
	seq        BIGINT NOT NULL, -- the change it came with
	received_ms BIGINT NOT NULL, -- Unix milliseconds, that of the change
	PRIMARY KEY (port, received_ms, id)
) PARTITION BY RANGE (received_ms);
CREATE INDEX report_seq ON report (seq, id);
CREATE INDEX report_day ON report (day, id);
CREATE INDEX report_port ON report (port, day, id);
CREATE INDEX report_item ON report (item, port, day, id);
CREATE INDEX report_reporter ON report (reporter, day, id);
CREATE INDEX report_replaces ON report (replaces) WHERE replaces <> '';
CREATE INDEX report_received ON report USING brin (received_ms); -- they come in that order: a few pages for millions

-- Ids are there once only, whatever the month and port, and say where to look.
CREATE TABLE report_key (
	id          TEXT COLLATE "C" PRIMARY KEY,
	port        TEXT COLLATE "C" NOT NULL,
	received_ms BIGINT NOT NULL
);

-- Makes the table of the month a moment is in, unless it is there. Readers go
-- on meanwhile. It works with its owner's rights: the program writes reports
-- with fewer.
CREATE FUNCTION report_month(at_ms BIGINT) RETURNS VOID LANGUAGE plpgsql SECURITY DEFINER AS $$
DECLARE
	first TIMESTAMP := date_trunc('month', to_timestamp(at_ms / 1000.0) AT TIME ZONE 'UTC');
	part  TEXT := 'report_' || to_char(first, 'YYYY_MM');
BEGIN
	IF to_regclass(part) IS NULL THEN
		EXECUTE format('CREATE TABLE %I (LIKE report)', part);
		EXECUTE format('ALTER TABLE report ATTACH PARTITION %I FOR VALUES FROM (%s) TO (%s)', part,
			EXTRACT(EPOCH FROM first AT TIME ZONE 'UTC')::BIGINT * 1000,
			EXTRACT(EPOCH FROM (first + INTERVAL '1 month') AT TIME ZONE 'UTC')::BIGINT * 1000);
	END IF;
END $$;
REVOKE EXECUTE ON FUNCTION report_month(BIGINT) FROM PUBLIC;
DO $$ BEGIN
	EXECUTE format('ALTER FUNCTION report_month(BIGINT) SET search_path TO %I, pg_temp', current_schema());
END $$;

SELECT COUNT(report_month(at_ms)) FROM (
	SELECT MIN(COALESCE(at_ms, 0)) AS at_ms FROM report_whole LEFT JOIN change ON change.seq = report_whole.seq
	GROUP BY date_trunc('month', to_timestamp(COALESCE(at_ms, 0) / 1000.0) AT TIME ZONE 'UTC')) AS months;
INSERT INTO report SELECT w.id, w.port, w.item, w.day, w.found, w.paid_minor, w.currency, w.pack, w.shop, w.reporter,
	w.source, w.quality, w.origin, w.note, w.replaces, w.seq, COALESCE(change.at_ms, 0)
	FROM report_whole w LEFT JOIN change ON change.seq = w.seq;
INSERT INTO report_key SELECT id, port, received_ms FROM report;
DROP TABLE report_whole;

-- What was taken back of what is told.
CREATE INDEX published_replaces ON published (replaces) WHERE replaces <> '';

UPDATE schema_mark SET version = 6;
-- A port's month in which something may wait to be told to everybody, and from
-- which day on it is worth a look. It follows from the reports and what was
-- decided about them: one that is there needlessly costs a look, no more.
CREATE TABLE pool (
	port  TEXT COLLATE "C" NOT NULL,
	month TEXT COLLATE "C" NOT NULL, -- its first day, YYYY-MM-DD: that of a report's day, or of when it came in if that is later
	seq   BIGINT NOT NULL, -- the last change that put something in
	rule  TEXT COLLATE "C" NOT NULL, -- under which it was looked at; empty before
	look  TEXT COLLATE "C" NOT NULL, -- YYYY-MM-DD; empty: at once
	PRIMARY KEY (port, month)
);
INSERT INTO pool
	SELECT port, LEFT(GREATEST(day, to_char(to_timestamp(received_ms / 1000.0) AT TIME ZONE 'UTC', 'YYYY-MM-DD')), 7) || '-01', MAX(seq), '', ''
	FROM report GROUP BY 1, 2;

-- Those a moderator left out are few among all that were passed over.
CREATE INDEX verdict_left_out ON verdict (report) WHERE verdict = 'leave_out';

-- What many reports add up to, so that it need not be added up anew by each
-- program that starts. It follows from the reports: a copy that is old, torn or
-- missing costs time only.
CREATE TABLE sums (
	part BIGINT PRIMARY KEY, -- 0 tells what the others are
	body BYTEA NOT NULL
);

UPDATE schema_mark SET version = 7;
-- When a login's key was last used, to the minute; 0: not yet.
ALTER TABLE access_key ADD COLUMN used_ms BIGINT NOT NULL DEFAULT 0;

-- What an account shows beside its password: codes of the time (RFC 6238).
CREATE TABLE second_factor (
	account  TEXT COLLATE "C" PRIMARY KEY,
	secret   TEXT COLLATE "C" NOT NULL, -- base32; codes are worked out from it
	since_ms BIGINT NOT NULL, -- since when it is asked for; 0: offered and not confirmed yet
	step     BIGINT NOT NULL -- of the last code that was used: none is taken twice
);

-- For the day the device is lost. Each is used once, and gone then.
CREATE TABLE recovery_code (
	account TEXT COLLATE "C" NOT NULL,
	sum     TEXT COLLATE "C" NOT NULL, -- SHA-256, hexadecimal, of 120 random bits
	PRIMARY KEY (account, sum)
);

-- Walls between accounts, as around their keys.
ALTER TABLE second_factor ENABLE ROW LEVEL SECURITY;
ALTER TABLE second_factor FORCE ROW LEVEL SECURITY;
CREATE POLICY own_rows ON second_factor USING (COALESCE(current_setting('hardtack.account', true), '') IN ('', account));
ALTER TABLE recovery_code ENABLE ROW LEVEL SECURITY;
ALTER TABLE recovery_code FORCE ROW LEVEL SECURITY;
CREATE POLICY own_rows ON recovery_code USING (COALESCE(current_setting('hardtack.account', true), '') IN ('', account));

UPDATE schema_mark SET version = 8;
