DROP TABLE verdict;
DROP TABLE audit;
DROP TABLE author;
DROP TABLE invitation;
DROP TABLE access_key;
DROP TABLE account;

UPDATE schema_mark SET version = 3;
