-- When a login's key was last used, to the minute; 0: not yet.
ALTER TABLE access_key ADD COLUMN used_ms BIGINT NOT NULL DEFAULT 0;

-- What an account shows beside its password: codes of the time (RFC 6238).
CREATE TABLE second_factor (
	account  TEXT COLLATE "C" PRIMARY KEY,
	secret   TEXT COLLATE "C" NOT NULL, -- base32; codes are worked out from it
	since_ms BIGINT NOT NULL, -- since when it is asked for; 0: offered and not confirmed yet
	step     BIGINT NOT NULL -- of the last code that was used: none is taken twice
);

-- For the day the device is lost. Each is used once, and gone then.
CREATE TABLE recovery_code (
	account TEXT COLLATE "C" NOT NULL,
	sum     TEXT COLLATE "C" NOT NULL, -- SHA-256, hexadecimal, of 120 random bits
	PRIMARY KEY (account, sum)
);

-- Walls between accounts, as around their keys.
ALTER TABLE second_factor ENABLE ROW LEVEL SECURITY;
ALTER TABLE second_factor FORCE ROW LEVEL SECURITY;
CREATE POLICY own_rows ON second_factor USING (COALESCE(current_setting('hardtack.account', true), '') IN ('', account));
ALTER TABLE recovery_code ENABLE ROW LEVEL SECURITY;
ALTER TABLE recovery_code FORCE ROW LEVEL SECURITY;
CREATE POLICY own_rows ON recovery_code USING (COALESCE(current_setting('hardtack.account', true), '') IN ('', account));

UPDATE schema_mark SET version = 8;
