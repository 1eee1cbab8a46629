-- When a report came in, by the clock of this database.
ALTER TABLE report ADD COLUMN received_ms INTEGER NOT NULL DEFAULT 0; -- Unix milliseconds, that of the change
UPDATE report SET received_ms = COALESCE((SELECT at_ms FROM change WHERE change.seq = report.seq), 0);

-- Where a report is to be found by its id. PostgreSQL keeps reports in many
-- tables and needs one of its own for this.
CREATE VIEW report_key AS SELECT id, port, received_ms FROM report;

-- What was taken back of what is told.
CREATE INDEX published_replaces ON published (replaces) WHERE replaces <> '';

UPDATE schema_mark SET version = 6;
