DROP INDEX published_replaces;
DROP FUNCTION report_month(BIGINT);
DROP TABLE report_key;
ALTER TABLE report RENAME TO report_parted;
DROP INDEX report_seq, report_day, report_port, report_item, report_reporter, report_replaces;
CREATE TABLE report AS SELECT id, port, item, day, found, paid_minor, currency, pack, shop, reporter,
	source, quality, origin, note, replaces, seq FROM report_parted;
DROP TABLE report_parted;
ALTER TABLE report
	ALTER COLUMN port SET NOT NULL, ALTER COLUMN item SET NOT NULL, ALTER COLUMN day SET NOT NULL,
	ALTER COLUMN found SET NOT NULL, ALTER COLUMN paid_minor SET NOT NULL, ALTER COLUMN currency SET NOT NULL,
	ALTER COLUMN pack SET NOT NULL, ALTER COLUMN shop SET NOT NULL, ALTER COLUMN reporter SET NOT NULL,
	ALTER COLUMN source SET NOT NULL, ALTER COLUMN quality SET NOT NULL, ALTER COLUMN origin SET NOT NULL,
	ALTER COLUMN note SET NOT NULL, ALTER COLUMN replaces SET NOT NULL, ALTER COLUMN seq SET NOT NULL,
	ADD CONSTRAINT report_pkey PRIMARY KEY (id);
CREATE INDEX report_seq ON report (seq, id);
CREATE INDEX report_day ON report (day, id);
CREATE INDEX report_port ON report (port, day, id);
CREATE INDEX report_item ON report (item, port, day, id);
CREATE INDEX report_reporter ON report (reporter, day, id);
CREATE INDEX report_replaces ON report (replaces) WHERE replaces <> '';

UPDATE schema_mark SET version = 5;
