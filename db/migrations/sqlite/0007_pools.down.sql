DROP TABLE sums;
DROP INDEX verdict_left_out;
DROP TABLE pool;

UPDATE schema_mark SET version = 6;
