package dbtest_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/db/dbtest"
)

// poured has a server of a test's own hold many reports as if boats had brought
// them in pages of 1,000 over some months to the end of 2025, each from a port
// and item drawn like those of brought. It is plain SQL, with the indexes made
// at the end: ten million in minutes instead of hours.
func poured(t *testing.T, s *dbtest.Server, size, months int) {
	t.Helper()
	at := s.URL()
	var fills []string
	for m := range months {
		first, next := m*size/months, (m+1)*size/months
		month := fmt.Sprintf("TIMESTAMP '2026-01-01' - INTERVAL '%d months'", months-m)
		ms := fmt.Sprintf("(EXTRACT(EPOCH FROM %s + INTERVAL '14 days')::BIGINT * 1000)", month)
		drawn := fmt.Sprintf(`(SELECT i, k, lpad(to_hex(k & 4294967295), 8, '0') || '-0000-4000-9000-' || lpad(to_hex(i), 12, '0') AS id,
			'P' || lpad(((k >> 33) %% 50 * ((k >> 40) %% 50))::TEXT, 4, '0') AS port, 'item_' || (k >> 20) %% 20 * ((k >> 27) %% 200) AS item,
			%[3]s + i %% 1000000000 / 1000 AS ms, to_char(%[4]s + INTERVAL '13 days', 'YYYY-MM-DD') AS day
			FROM (SELECT i, hashint8extended(i, 7) & 9223372036854775807 AS k FROM generate_series(%[1]d::BIGINT, %[2]d) i) x) y`, first, next-1, ms, month)
		fills = append(fills, `SELECT report_month(`+ms+`)`,
			`INSERT INTO report SELECT id, port, item, day, 'yes', 100 + k % 900, 'EUR', 1000000, 'market hall', 'old' || i / 4000, 'receipt', 4, '', '', '',
				i / 1000 + 1, ms FROM `+drawn,
			`INSERT INTO report_key SELECT id, port, ms FROM `+drawn,
			`INSERT INTO record SELECT 'sold' || i / 4000, i % 4000 + 1, id, k | 1, '', 'boat' FROM `+drawn,
			`INSERT INTO change SELECT i / 1000 + 1, MIN(ms), 'report', '', 'add', COUNT(*) FROM `+drawn+` GROUP BY i / 1000 ON CONFLICT DO NOTHING`,
		)
	}
	fills = append(fills, `INSERT INTO head SELECT 'sold' || i, 4000, 1 FROM generate_series(0, `+fmt.Sprint((size-1)/4000)+`) i`,
		`INSERT INTO pool SELECT port, LEFT(to_char(to_timestamp(received_ms / 1000.0) AT TIME ZONE 'UTC', 'YYYY-MM-DD'), 7) || '-01', MAX(seq), '', '' FROM report GROUP BY 1, 2`)

	makes := texts(t, at, `
		SELECT format('ALTER TABLE %s ADD CONSTRAINT %I %s', conrelid::regclass, conname, pg_get_constraintdef(oid)) FROM pg_constraint
		WHERE contype = 'p' AND conrelid IN ('report'::regclass, 'report_key'::regclass, 'record'::regclass)
		UNION ALL
		SELECT indexdef FROM pg_indexes WHERE schemaname = current_schema() AND tablename IN ('report', 'report_key', 'record') AND indexname NOT LIKE '%_pkey'`)
	for _, text := range makes {
		if name, ok := strings.CutPrefix(text, "ALTER TABLE "); ok {
			table, _, _ := strings.Cut(name, " ")
			execute(t, at, `ALTER TABLE `+table+` DROP CONSTRAINT `+table+`_pkey`)
			continue
		}
		_, name, ok := strings.Cut(text, "INDEX ")
		require.True(t, ok)
		name, _, _ = strings.Cut(name, " ")
		execute(t, at, `DROP INDEX `+name)
	}
	execute(t, at, fills...)
	for i, text := range makes {
		makes[i] = strings.Replace(text, " ON ONLY ", " ON ", 1) // with those of the months
	}
	execute(t, at, append(makes, `VACUUM ANALYZE`)...)
}
