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
