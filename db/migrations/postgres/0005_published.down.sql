DROP TABLE published;

UPDATE schema_mark SET version = 4;
