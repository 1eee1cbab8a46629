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
