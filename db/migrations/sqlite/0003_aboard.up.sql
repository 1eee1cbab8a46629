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
