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
