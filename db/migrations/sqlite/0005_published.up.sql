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
