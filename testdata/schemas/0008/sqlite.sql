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
-- The order of arrival, whole: a feed goes on after any report in it.
DROP INDEX report_seq;
CREATE INDEX report_seq ON report (seq, id);

-- Which database a report was first kept in, and its number there.
CREATE TABLE record (
	source  TEXT NOT NULL,
	number  INTEGER NOT NULL CHECK (number > 0),
	report  TEXT NOT NULL,
	chain   INTEGER NOT NULL, -- sums up the numbers before it; 0 while there is a gap
	said    TEXT NOT NULL, -- the day as its boat said it, where that was in the future
	carrier TEXT NOT NULL, -- who brought it; empty: entered here
	PRIMARY KEY (source, number)
) STRICT;
CREATE UNIQUE INDEX record_report ON record (report);
CREATE INDEX record_said ON record (report) WHERE said <> '';

-- Up to where a source's records are known without a gap.
CREATE TABLE head (
	source TEXT PRIMARY KEY,
	top    INTEGER NOT NULL,
	chain  INTEGER NOT NULL
) STRICT;

-- Up to which change the reports entered here have a number.
CREATE TABLE numbered (
	seq INTEGER NOT NULL
) STRICT;

-- How far the exchange with another database has come.
CREATE TABLE peer (
	id         TEXT PRIMARY KEY,
	source     TEXT NOT NULL,
	epoch      TEXT NOT NULL,
	pulled     TEXT NOT NULL,
	pushed_seq INTEGER NOT NULL,
	pushed_id  TEXT NOT NULL,
	stuck      INTEGER NOT NULL, -- offering records from this number on again did not help; 0: not so
	at_ms      INTEGER NOT NULL
) STRICT;

UPDATE schema_mark SET version = 2;
-- What is known of a lot beyond how much of it lies in which space.
ALTER TABLE lot ADD COLUMN locker TEXT NOT NULL DEFAULT '';
ALTER TABLE lot ADD COLUMN pack INTEGER NOT NULL DEFAULT 0; -- millionths of the item's unit
ALTER TABLE lot ADD COLUMN port TEXT NOT NULL DEFAULT '';
ALTER TABLE lot ADD COLUMN opened TEXT NOT NULL DEFAULT ''; -- YYYY-MM-DD or empty
ALTER TABLE lot ADD COLUMN purpose TEXT NOT NULL DEFAULT ''; -- barter, emergency, bonded; empty: to be eaten

-- Named places within the spaces of a vessel.
CREATE TABLE locker (
	vessel TEXT NOT NULL,
	id     TEXT NOT NULL,
	space  TEXT NOT NULL,
	litres REAL NOT NULL,
	max_kg REAL NOT NULL,
	wet    INTEGER NOT NULL, -- 0 or 1, as the next four
	hot    INTEGER NOT NULL,
	at_sea INTEGER NOT NULL,
	low    INTEGER NOT NULL,
	sealed INTEGER NOT NULL,
	side   TEXT NOT NULL,
	temp   TEXT NOT NULL, -- °C as a decimal, or empty
	read_on TEXT NOT NULL,
	place  INTEGER NOT NULL, -- in the list
	PRIMARY KEY (vessel, id)
) STRICT;

-- The stores book: what came, went, was moved or opened. Lines are added,
-- never changed.
CREATE TABLE move (
	vessel     TEXT NOT NULL,
	id         TEXT NOT NULL,
	seq        INTEGER NOT NULL, -- the change it came with
	place      INTEGER NOT NULL, -- within that change
	day        TEXT NOT NULL,
	kind       TEXT NOT NULL,
	lot        TEXT NOT NULL,
	item       TEXT NOT NULL,
	quantity   INTEGER NOT NULL CHECK (quantity > 0), -- millionths of the item's unit
	from_place TEXT NOT NULL,
	to_place   TEXT NOT NULL,
	cause      TEXT NOT NULL,
	party      TEXT NOT NULL,
	loan       INTEGER NOT NULL,
	purpose    TEXT NOT NULL,
	port       TEXT NOT NULL,
	paid_minor INTEGER NOT NULL,
	currency   TEXT NOT NULL,
	note       TEXT NOT NULL,
	PRIMARY KEY (vessel, id)
) STRICT;
CREATE INDEX move_day ON move (vessel, day, seq, place);

-- What each count found, item by item.
CREATE TABLE count_line (
	vessel  TEXT NOT NULL,
	seq     INTEGER NOT NULL, -- the change it came with
	day     TEXT NOT NULL,
	item    TEXT NOT NULL,
	book    INTEGER NOT NULL, -- millionths of the item's unit, as the next five
	counted INTEGER NOT NULL,
	spoilt  INTEGER NOT NULL,
	used    INTEGER NOT NULL,
	found   INTEGER NOT NULL,
	missing INTEGER NOT NULL, -- of what was not for the table
	mark    TEXT NOT NULL, -- ran out, left over, hated; or empty
	PRIMARY KEY (vessel, seq, item)
) STRICT;

-- What a crew used of a need between two counts.
CREATE TABLE usage (
	vessel      TEXT NOT NULL,
	crew        TEXT NOT NULL,
	need        TEXT NOT NULL,
	from_day    TEXT NOT NULL,
	to_day      TEXT NOT NULL,
	person_days REAL NOT NULL CHECK (person_days >= 0),
	used        REAL NOT NULL CHECK (used >= 0),
	ran_out     INTEGER NOT NULL,
	guessed     INTEGER NOT NULL,
	PRIMARY KEY (vessel, crew, need, to_day)
) STRICT;

-- The stores' log of a passage: exceptions only, added and never changed.
CREATE TABLE log_entry (
	vessel TEXT NOT NULL,
	id     TEXT NOT NULL,
	seq    INTEGER NOT NULL,
	day    TEXT NOT NULL,
	kind   TEXT NOT NULL,
	amount REAL NOT NULL,
	place  TEXT NOT NULL,
	item   TEXT NOT NULL,
	note   TEXT NOT NULL,
	PRIMARY KEY (vessel, id)
) STRICT;

UPDATE schema_mark SET version = 3;
-- Who may use a shared server. A boat alone needs none of this.
CREATE TABLE account (
	id         TEXT PRIMARY KEY,
	name       TEXT NOT NULL UNIQUE, -- folded
	role       TEXT NOT NULL, -- boat, skipper, moderator
	password   TEXT NOT NULL, -- argon2id; empty: none
	state      TEXT NOT NULL, -- active, suspended, erased
	created_ms INTEGER NOT NULL
) STRICT;

-- Keys are shown once; what is kept is their sum.
CREATE TABLE access_key (
	prefix     TEXT PRIMARY KEY, -- shown, to tell keys apart
	account    TEXT NOT NULL,
	sum        TEXT NOT NULL, -- SHA-256, hexadecimal
	scopes     TEXT NOT NULL, -- words with blanks between
	label      TEXT NOT NULL,
	created_ms INTEGER NOT NULL,
	ends_ms    INTEGER NOT NULL, -- 0: when it is revoked
	revoked_ms INTEGER NOT NULL -- 0: it is not
) STRICT;
CREATE INDEX access_key_account ON access_key (account, created_ms);

CREATE TABLE invitation (
	sum        TEXT PRIMARY KEY,
	role       TEXT NOT NULL,
	issuer     TEXT NOT NULL,
	created_ms INTEGER NOT NULL,
	ends_ms    INTEGER NOT NULL,
	used_by    TEXT NOT NULL
) STRICT;

-- Which account reports under which reporter's id.
CREATE TABLE author (
	reporter TEXT PRIMARY KEY,
	account  TEXT NOT NULL
) STRICT;
CREATE INDEX author_account ON author (account, reporter);

-- Who did what to accounts and to others' reports.
CREATE TABLE audit (
	seq     INTEGER PRIMARY KEY, -- of the change it came with
	at_ms   INTEGER NOT NULL,
	account TEXT NOT NULL, -- who; empty: by command on the server
	what    TEXT NOT NULL,
	ref     TEXT NOT NULL
) STRICT;
CREATE INDEX audit_account ON audit (account, seq);

-- What moderators decided about reports that were questioned.
CREATE TABLE verdict (
	report  TEXT PRIMARY KEY,
	verdict TEXT NOT NULL, -- keep, leave_out
	account TEXT NOT NULL,
	at_ms   INTEGER NOT NULL
) STRICT;

UPDATE schema_mark SET version = 4;
-- What is told to everybody: reports whose turn has come, without whose they
-- are. The id is drawn for it, the day is that of a whole month or year.
CREATE TABLE published (
	id       TEXT PRIMARY KEY,
	seq      INTEGER NOT NULL, -- the change it came with
	number   INTEGER NOT NULL, -- among all that is told, from 1 without a gap
	report   TEXT NOT NULL UNIQUE, -- which one it is: never told
	day      TEXT NOT NULL, -- YYYY-MM-DD
	paid_minor INTEGER NOT NULL, -- of a usual pack, about
	currency TEXT NOT NULL,
	pack     INTEGER NOT NULL,
	replaces TEXT NOT NULL -- what is told of the report it corrects
) STRICT;
CREATE INDEX published_seq ON published (seq, id);

UPDATE schema_mark SET version = 5;
-- When a report came in, by the clock of this database.
ALTER TABLE report ADD COLUMN received_ms INTEGER NOT NULL DEFAULT 0; -- Unix milliseconds, that of the change
UPDATE report SET received_ms = COALESCE((SELECT at_ms FROM change WHERE change.seq = report.seq), 0);

-- Where a report is to be found by its id. PostgreSQL keeps reports in many
-- tables and needs one of its own for this.
CREATE VIEW report_key AS SELECT id, port, received_ms FROM report;

-- What was taken back of what is told.
CREATE INDEX published_replaces ON published (replaces) WHERE replaces <> '';

UPDATE schema_mark SET version = 6;
-- A port's month in which something may wait to be told to everybody, and from
-- which day on it is worth a look. It follows from the reports and what was
-- decided about them: one that is there needlessly costs a look, no more.
CREATE TABLE pool (
	port  TEXT NOT NULL,
	month TEXT NOT NULL, -- its first day, YYYY-MM-DD: that of a report's day, or of when it came in if that is later
	seq   INTEGER NOT NULL, -- the last change that put something in
	rule  TEXT NOT NULL, -- under which it was looked at; empty before
	look  TEXT NOT NULL, -- YYYY-MM-DD; empty: at once
	PRIMARY KEY (port, month)
) STRICT;
INSERT INTO pool
	SELECT port, SUBSTR(MAX(day, strftime('%Y-%m-%d', received_ms / 1000, 'unixepoch')), 1, 7) || '-01', MAX(seq), '', ''
	FROM report GROUP BY 1, 2;

-- Those a moderator left out are few among all that were passed over.
CREATE INDEX verdict_left_out ON verdict (report) WHERE verdict = 'leave_out';

-- What many reports add up to, so that it need not be added up anew by each
-- program that starts. It follows from the reports: a copy that is old, torn or
-- missing costs time only.
CREATE TABLE sums (
	part INTEGER PRIMARY KEY, -- 0 tells what the others are
	body BLOB NOT NULL
) STRICT;

UPDATE schema_mark SET version = 7;
-- When a login's key was last used, to the minute; 0: not yet.
ALTER TABLE access_key ADD COLUMN used_ms INTEGER NOT NULL DEFAULT 0;

-- What an account shows beside its password: codes of the time (RFC 6238).
CREATE TABLE second_factor (
	account  TEXT PRIMARY KEY,
	secret   TEXT NOT NULL, -- base32; codes are worked out from it
	since_ms INTEGER NOT NULL, -- since when it is asked for; 0: offered and not confirmed yet
	step     INTEGER NOT NULL -- of the last code that was used: none is taken twice
) STRICT;

-- For the day the device is lost. Each is used once, and gone then.
CREATE TABLE recovery_code (
	account TEXT NOT NULL,
	sum     TEXT NOT NULL, -- SHA-256, hexadecimal, of 120 random bits
	PRIMARY KEY (account, sum)
) STRICT;

UPDATE schema_mark SET version = 8;
