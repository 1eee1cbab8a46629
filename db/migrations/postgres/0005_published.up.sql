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
