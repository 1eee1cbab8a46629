package db

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"strings"
)

// Head says how far the records of one source are known without a gap: all of
// the numbers 1 to Top. Chain sums up which ids those are, so that two
// databases that go by the same name but parted ways (a copied file, one put
// back from a backup) are told apart.
type Head struct {
	Source string
	Top    int64
	Chain  int64
}

// Next is the head once the record after Top is known too.
func (h Head) Next(id string) Head {
	text := binary.BigEndian.AppendUint64(nil, uint64(h.Chain))
	sum := sha256.Sum256(append(text, id...))
	chain := int64(binary.BigEndian.Uint64(sum[:8]))
	if chain == 0 {
		chain = 1 // 0 is "not known"
	}
	return Head{h.Source, h.Top + 1, chain}
}

// Heads are those of all sources, by source.
func (d *DB) Heads(ctx context.Context) ([]Head, error) {
	rows, err := d.reader.QueryContext(ctx, `SELECT source, top, chain FROM head ORDER BY source`)
	if err != nil {
		return nil, fmt.Errorf("heads: %w", err)
	}
	defer rows.Close()
	var out []Head
	for rows.Next() {
		var h Head
		if err := rows.Scan(&h.Source, &h.Top, &h.Chain); err != nil {
			return nil, fmt.Errorf("heads: %w", err)
		}
		out = append(out, h)
	}
	return out, rows.Err()
}

// Head is that of one source; Top is 0 when nothing of it is known.
func (d *DB) Head(ctx context.Context, source string) (Head, error) {
	h, err := headOf(ctx, d.reader.QueryRowContext, source)
	if err != nil {
		return h, fmt.Errorf("head of %q: %w", source, err)
	}
	return h, nil
}

func headOf(ctx context.Context, q queryRow, source string) (Head, error) {
	h := Head{Source: source}
	err := q(ctx, `SELECT top, chain FROM head WHERE source = $1`, source).Scan(&h.Top, &h.Chain)
	if errors.Is(err, sql.ErrNoRows) {
		err = nil
	}
	return h, err
}

// ChainAt is the chain of a source at one of its numbers, 0 when it is not
// known here.
func (d *DB) ChainAt(ctx context.Context, source string, number int64) (int64, error) {
	var chain int64
	err := d.reader.QueryRowContext(ctx, `SELECT chain FROM record WHERE source = $1 AND number = $2`, source, number).Scan(&chain)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, nil
	}
	if err != nil {
		return 0, fmt.Errorf("chain of %q at %d: %w", source, number, err)
	}
	return chain, nil
}

func (t writeTx) setHead(ctx context.Context, h Head) error {
	_, err := t.ExecContext(ctx, `
		INSERT INTO head (source, top, chain) VALUES ($1, $2, $3)
		ON CONFLICT (source) DO UPDATE SET top = excluded.top, chain = excluded.chain`, h.Source, h.Top, h.Chain)
	return err
}

// arrived is a record about to be kept.
type arrived struct {
	number   int64
	id, said string
	chain    int64
}

// chained gives those of a source's new records that follow its head without a
// gap their chains, so that each is written once, and the head after them. They
// are in the order of their numbers.
func chained(h Head, rs []arrived) Head {
	for i := range rs {
		if rs[i].number != h.Top+1 {
			break
		}
		h = h.Next(rs[i].id)
		rs[i].chain = h.Chain
	}
	return h
}

// advance moves a source's head over all records that are there without a gap:
// those that had come before what filled it.
func (t writeTx) advance(ctx context.Context, h Head) (Head, error) {
	for {
		ids, err := t.idsAfter(ctx, h.Source, h.Top)
		if err != nil || len(ids) == 0 {
			return h, err
		}
		args := []any{h.Source}
		var chains []string
		for _, id := range ids {
			h = h.Next(id)
			chains = append(chains, fmt.Sprintf("(CAST($%d AS BIGINT), CAST($%d AS BIGINT))", len(args)+1, len(args)+2))
			args = append(args, h.Top, h.Chain)
		}
		_, err = t.ExecContext(ctx, `UPDATE record SET chain = v.column2 FROM (VALUES `+strings.Join(chains, ", ")+`) AS v
			WHERE source = $1 AND number = v.column1`, args...)
		if err != nil || len(ids) < idsAtOnce {
			return h, err
		}
	}
}

// idsAfter are the ids of a source's records from the number after top on, up
// to the first gap.
func (t writeTx) idsAfter(ctx context.Context, source string, top int64) ([]string, error) {
	rows, err := t.QueryContext(ctx, `
		SELECT number, report FROM record WHERE source = $1 AND number > $2 ORDER BY number LIMIT $3`, source, top, idsAtOnce)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var ids []string
	for rows.Next() {
		var number int64
		var id string
		if err := rows.Scan(&number, &id); err != nil {
			return nil, err
		}
		if number != top+int64(len(ids))+1 {
			return ids, rows.Err()
		}
		ids = append(ids, id)
	}
	return ids, rows.Err()
}
