DROP INDEX published_replaces;
DROP VIEW report_key;
ALTER TABLE report DROP COLUMN received_ms;

UPDATE schema_mark SET version = 5;
