DROP TABLE recovery_code;
DROP TABLE second_factor;
ALTER TABLE access_key DROP COLUMN used_ms;

UPDATE schema_mark SET version = 7;
