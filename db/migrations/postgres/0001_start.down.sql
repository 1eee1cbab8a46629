DROP TABLE meta;
DROP TABLE rate;
DROP TABLE lot;
DROP TABLE document;
DROP TABLE report;
DROP TABLE change;
DROP TABLE schema_mark;
