package db

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// OpenBeside is Open, with a copy beside the database that follows it (a
// PostgreSQL streaming replica): what may be some moments old is then read from
// the copy, see Far. A copy that does not answer is done without until it does;
// one that is no copy is refused. An empty replica is none.
func OpenBeside(ctx context.Context, url, replica string) (*DB, error) {
	d, err := Open(ctx, url)
	if err != nil || replica == "" {
		return d, err
	}
	if d.far, err = openFar(ctx, d.dialect, replica); err != nil {
		return nil, errors.Join(fmt.Errorf("open replica %s: %w", Redact(replica), err), d.Close())
	}
	return d, nil
}

func openFar(ctx context.Context, d dialect, replica string) (*DB, error) {
	if d.follows == "" || dialectOf(replica).name != d.name {
		return nil, fmt.Errorf("%w: only PostgreSQL has replicas", ErrInvalid)
	}
	reader, err := d.look(replica)
	if err != nil {
		return nil, err
	}
	far := &DB{Now: time.Now, dialect: d, reader: reader, writer: reader}
	if !far.answers(ctx) {
		return far, nil
	}
	var follows bool
	err = reader.QueryRowContext(ctx, d.follows).Scan(&follows)
	if err == nil && !follows {
		err = fmt.Errorf("%w: it follows no other database", ErrInvalid)
	}
	if err == nil {
		err = far.checkSchema(ctx)
	}
	if err != nil {
		return nil, errors.Join(err, far.Close())
	}
	return far, nil
}

// patience is how long a replica may take to say that it is there.
const patience = time.Second

func (d *DB) answers(ctx context.Context) bool {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	return d.reader.PingContext(ctx) == nil
}

// Far is where to read what may be some moments old: the copy beside this
// database while it answers, else this one. Nothing can be written there.
func (d *DB) Far(ctx context.Context) *DB {
	if d.far == nil || !d.far.answers(ctx) {
		return d
	}
	return d.far
}

// Away says whether an error is that the database cannot be reached just now:
// it was stopped, or another machine takes its place. Whether what was asked
// was done is not known then; a repeat of anything with an id does no harm.
func Away(err error) bool { return err != nil && postgres.away(err) }
