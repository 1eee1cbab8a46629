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
