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
