DROP TABLE log_entry;
DROP TABLE usage;
DROP TABLE count_line;
DROP TABLE move;
DROP TABLE locker;
ALTER TABLE lot DROP COLUMN purpose;
ALTER TABLE lot DROP COLUMN opened;
ALTER TABLE lot DROP COLUMN port;
ALTER TABLE lot DROP COLUMN pack;
ALTER TABLE lot DROP COLUMN locker;

UPDATE schema_mark SET version = 2;
