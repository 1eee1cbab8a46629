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
