-- Reports lie by the month in which they came in, each month a table of its
-- own. All of a boat's questions name a port: with the port in its key the table
-- can also be spread over several servers by port.
ALTER TABLE report RENAME TO report_whole;
ALTER INDEX report_pkey RENAME TO report_whole_pkey;
DROP INDEX report_seq, report_day, report_port, report_item, report_reporter, report_replaces;

CREATE TABLE report (
	id         TEXT COLLATE "C" NOT NULL, -- UUID
	port       TEXT COLLATE "C" NOT NULL,
	item       TEXT COLLATE "C" NOT NULL,
	day        TEXT COLLATE "C" NOT NULL, -- YYYY-MM-DD
	found      TEXT COLLATE "C" NOT NULL,
	paid_minor BIGINT NOT NULL, -- 0 unless found is yes
	currency   TEXT COLLATE "C" NOT NULL,
	pack       BIGINT NOT NULL, -- millionths of the item's unit
	shop       TEXT COLLATE "C" NOT NULL,
	reporter   TEXT COLLATE "C" NOT NULL,
	source     TEXT COLLATE "C" NOT NULL,
	quality    BIGINT NOT NULL,
	origin     TEXT COLLATE "C" NOT NULL,
	note       TEXT COLLATE "C" NOT NULL,
	replaces   TEXT COLLATE "C" NOT NULL,
	seq        BIGINT NOT NULL, -- the change it came with
	received_ms BIGINT NOT NULL, -- Unix milliseconds, that of the change
	PRIMARY KEY (port, received_ms, id)
) PARTITION BY RANGE (received_ms);
CREATE INDEX report_seq ON report (seq, id);
CREATE INDEX report_day ON report (day, id);
CREATE INDEX report_port ON report (port, day, id);
CREATE INDEX report_item ON report (item, port, day, id);
CREATE INDEX report_reporter ON report (reporter, day, id);
CREATE INDEX report_replaces ON report (replaces) WHERE replaces <> '';
CREATE INDEX report_received ON report USING brin (received_ms); -- they come in that order: a few pages for millions

-- Ids are there once only, whatever the month and port, and say where to look.
CREATE TABLE report_key (
	id          TEXT COLLATE "C" PRIMARY KEY,
	port        TEXT COLLATE "C" NOT NULL,
	received_ms BIGINT NOT NULL
);

-- Makes the table of the month a moment is in, unless it is there. Readers go
-- on meanwhile. It works with its owner's rights: the program writes reports
-- with fewer.
CREATE FUNCTION report_month(at_ms BIGINT) RETURNS VOID LANGUAGE plpgsql SECURITY DEFINER AS $$
DECLARE
	first TIMESTAMP := date_trunc('month', to_timestamp(at_ms / 1000.0) AT TIME ZONE 'UTC');
	part  TEXT := 'report_' || to_char(first, 'YYYY_MM');
BEGIN
	IF to_regclass(part) IS NULL THEN
		EXECUTE format('CREATE TABLE %I (LIKE report)', part);
		EXECUTE format('ALTER TABLE report ATTACH PARTITION %I FOR VALUES FROM (%s) TO (%s)', part,
			EXTRACT(EPOCH FROM first AT TIME ZONE 'UTC')::BIGINT * 1000,
			EXTRACT(EPOCH FROM (first + INTERVAL '1 month') AT TIME ZONE 'UTC')::BIGINT * 1000);
	END IF;
END $$;
REVOKE EXECUTE ON FUNCTION report_month(BIGINT) FROM PUBLIC;
DO $$ BEGIN
	EXECUTE format('ALTER FUNCTION report_month(BIGINT) SET search_path TO %I, pg_temp', current_schema());
END $$;

SELECT COUNT(report_month(at_ms)) FROM (
	SELECT MIN(COALESCE(at_ms, 0)) AS at_ms FROM report_whole LEFT JOIN change ON change.seq = report_whole.seq
	GROUP BY date_trunc('month', to_timestamp(COALESCE(at_ms, 0) / 1000.0) AT TIME ZONE 'UTC')) AS months;
INSERT INTO report SELECT w.id, w.port, w.item, w.day, w.found, w.paid_minor, w.currency, w.pack, w.shop, w.reporter,
	w.source, w.quality, w.origin, w.note, w.replaces, w.seq, COALESCE(change.at_ms, 0)
	FROM report_whole w LEFT JOIN change ON change.seq = w.seq;
INSERT INTO report_key SELECT id, port, received_ms FROM report;
DROP TABLE report_whole;

-- What was taken back of what is told.
CREATE INDEX published_replaces ON published (replaces) WHERE replaces <> '';

UPDATE schema_mark SET version = 6;
