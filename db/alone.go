package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"hash/fnv"
)

// Alone runs f unless another process, or another part of this one, runs
// something of the same name on this database just now; ran says which. So of
// several servers on one database one does a work that is enough done once.
func (d *DB) Alone(ctx context.Context, name string, f func(context.Context) error) (ran bool, err error) {
	if d.dialect.tryLock == "" {
		return d.aloneHere(ctx, name, f)
	}
	h := fnv.New64a()
	fmt.Fprintf(h, "hardtack %s", name)
	key := int64(h.Sum64())
	conn, err := d.writer.Conn(ctx)
	if err != nil {
		return false, fmt.Errorf("%s alone: %w", name, err)
	}
	defer func() { err = errors.Join(err, conn.Close()) }()
	if err := conn.QueryRowContext(ctx, d.dialect.tryLock, key).Scan(&ran); err != nil || !ran {
		return false, err
	}
	defer func() { err = errors.Join(err, unlock(ctx, conn, d.dialect.unlock, key)) }()
	return true, f(ctx)
}

// unlock also when ctx has ended: the connection goes back to others.
func unlock(ctx context.Context, conn *sql.Conn, text string, key int64) error {
	_, err := conn.ExecContext(context.WithoutCancel(ctx), text, key)
	return err
}

// aloneHere is for a file, which one process serves.
func (d *DB) aloneHere(ctx context.Context, name string, f func(context.Context) error) (bool, error) {
	if _, busy := d.alone.LoadOrStore(name, true); busy {
		return false, nil
	}
	defer d.alone.Delete(name)
	return true, f(ctx)
}
