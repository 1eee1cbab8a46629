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
