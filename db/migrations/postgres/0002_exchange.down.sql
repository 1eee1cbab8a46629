DROP TABLE peer;
DROP TABLE numbered;
DROP TABLE head;
DROP TABLE record;
DROP INDEX report_seq;
CREATE INDEX report_seq ON report (seq);

UPDATE schema_mark SET version = 1;
