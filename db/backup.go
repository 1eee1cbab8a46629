package db

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// A backup is lines of JSON, the same text from either database for the same
// content: a backupHead; for each table a tableHead and its rows as arrays; at
// the end a backupFoot with the SHA-256 of every byte before it.
type (
	backupHead struct {
		Format int  `json:"hardtack_backup"`
		Schema uint `json:"schema"`
	}
	tableHead struct {
		Table   string   `json:"table"`
		Columns []string `json:"columns"`
	}
	backupFoot struct {
		Rows   int64  `json:"rows"`
		SHA256 string `json:"sha256"`
	}
)

const backupFormat = 1

// Backup writes everything that is kept, as of one moment, while others may
// write on. Restore reads it into either database.
func (d *DB) Backup(ctx context.Context, w io.Writer) error {
	sum := sha256.New()
	buffer := bufio.NewWriterSize(w, 1<<16)
	out := encoder(io.MultiWriter(buffer, sum))
	var rows int64
	err := d.snapshot(ctx, func(tx *sql.Tx) error {
		if err := out.Encode(backupHead{backupFormat, Newest}); err != nil {
			return err
		}
		for _, t := range tables {
			n, err := backupTable(ctx, tx, t, out)
			if err != nil {
				return fmt.Errorf("%s: %w", t.name, err)
			}
			rows += n
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("back up: %w", err)
	}
	foot := backupFoot{rows, hex.EncodeToString(sum.Sum(nil))}
	if err := errors.Join(out.Encode(foot), buffer.Flush()); err != nil {
		return fmt.Errorf("back up: %w", err)
	}
	return nil
}

func backupTable(ctx context.Context, tx *sql.Tx, t table, out *json.Encoder) (n int64, err error) {
	if err := out.Encode(tableHead{t.name, t.columns}); err != nil {
		return 0, err
	}
	err = eachRow(ctx, tx, t, func(row []any) error {
		n++
		return out.Encode(row)
	})
	return n, err
}

// eachRow gives f the rows of a table in its order; f must not keep the row.
func eachRow(ctx context.Context, tx *sql.Tx, t table, f func([]any) error) error {
	text := `SELECT ` + strings.Join(t.columns, ", ") + ` FROM ` + t.name + ` ORDER BY ` + t.order
	rows, err := tx.QueryContext(ctx, text)
	if err != nil {
		return err
	}
	defer rows.Close()
	values, into := make([]any, len(t.columns)), make([]any, len(t.columns))
	for i := range values {
		into[i] = &values[i]
	}
	for rows.Next() {
		if err := rows.Scan(into...); err != nil {
			return err
		}
		if err := f(values); err != nil {
			return err
		}
	}
	return rows.Err()
}

// encoder writes rows the one way a backup has them.
func encoder(w io.Writer) *json.Encoder {
	out := json.NewEncoder(w)
	out.SetEscapeHTML(false)
	return out
}

// BackupFile writes a backup to a new file and reads it back. The file has its
// name only once it is whole, on the disk and found to hold what was written;
// ErrConflict when the name is taken.
func (d *DB) BackupFile(ctx context.Context, path string) (info BackupInfo, err error) {
	defer func() {
		if err != nil {
			err = fmt.Errorf("back up to %s: %w", path, err)
		}
	}()
	if _, err := os.Lstat(path); err == nil {
		return info, fmt.Errorf("%w; nothing was changed", ErrConflict)
	}
	f, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".part-*")
	if err != nil {
		return info, err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(f.Name()))
		}
	}()
	sum := sha256.New()
	if err := errors.Join(d.Backup(ctx, io.MultiWriter(f, sum)), f.Sync(), f.Close()); err != nil {
		return info, err
	}
	if info, err = readBack(f.Name(), sum.Sum(nil)); err != nil {
		return info, err
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return info, err
	}
	return info, syncFolder(filepath.Dir(path))
}

// readBack checks a backup just written: it must be a whole backup, and the
// very bytes that were sent to the disk.
func readBack(path string, wrote []byte) (BackupInfo, error) {
	f, err := os.Open(path)
	if err != nil {
		return BackupInfo{}, err
	}
	defer f.Close()
	sum := sha256.New()
	info, err := CheckBackup(io.TeeReader(f, sum))
	if err != nil {
		return info, fmt.Errorf("read back: %w", err)
	}
	if !bytes.Equal(sum.Sum(nil), wrote) {
		return info, fmt.Errorf("read back: %w: the disk does not hold what was written", ErrDamaged)
	}
	return info, nil
}

// syncFolder makes a new name survive a power cut.
func syncFolder(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
