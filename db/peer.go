package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// Peer is how far the exchange with another database has come.
type Peer struct {
	ID     string // what it is called here: an address, or the name of a file's giver
	Source string // its own name for itself
	Epoch  string // its own, as last told: another one means it was put back to an earlier state
	Pulled string // where it said to go on; only it knows what that means
	Pushed Mark   // everything up to here was offered to it
	Stuck  int64  // one more than the records of ours it knows, when being offered the others again did not help
	AtMs   int64  // of the last exchange, by this clock
}

// Peer gives what is kept of a peer, ErrNotFound when it was never met.
func (d *DB) Peer(ctx context.Context, id string) (Peer, error) {
	p := Peer{ID: id}
	err := d.reader.QueryRowContext(ctx, `
		SELECT source, epoch, pulled, pushed_seq, pushed_id, stuck, at_ms FROM peer WHERE id = $1`, id).
		Scan(&p.Source, &p.Epoch, &p.Pulled, &p.Pushed.Seq, &p.Pushed.ID, &p.Stuck, &p.AtMs)
	if errors.Is(err, sql.ErrNoRows) {
		err = ErrNotFound
	}
	if err != nil {
		return Peer{}, fmt.Errorf("peer %q: %w", id, err)
	}
	return p, nil
}

func (t writeTx) putPeer(ctx context.Context, p Peer) error {
	_, err := t.ExecContext(ctx, `
		INSERT INTO peer (id, source, epoch, pulled, pushed_seq, pushed_id, stuck, at_ms) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)
		ON CONFLICT (id) DO UPDATE SET source = excluded.source, epoch = excluded.epoch, pulled = excluded.pulled,
			pushed_seq = excluded.pushed_seq, pushed_id = excluded.pushed_id, stuck = excluded.stuck, at_ms = excluded.at_ms`,
		p.ID, p.Source, p.Epoch, p.Pulled, p.Pushed.Seq, p.Pushed.ID, p.Stuck, p.AtMs)
	return err
}

// SetMeta keeps a fact about the database, in the place of what it was.
func (d *DB) SetMeta(ctx context.Context, name, value string) error {
	if err := checkText(name, value); err != nil {
		return fmt.Errorf("fact %q: %w", name, err)
	}
	err := d.write(ctx, func(t writeTx) error {
		_, err := t.ExecContext(ctx, `
			INSERT INTO meta (name, value) VALUES ($1, $2)
			ON CONFLICT (name) DO UPDATE SET value = excluded.value`, name, value)
		if err != nil {
			return err
		}
		_, err = t.log(ctx, KindMeta, name, put, 1)
		return err
	})
	if err != nil {
		return fmt.Errorf("fact %q: %w", name, err)
	}
	return nil
}
