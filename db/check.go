package db

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"time"
)

// BackupInfo is what a backup says of itself.
type BackupInfo struct {
	Schema  uint      `json:"schema"`
	Rows    int64     `json:"rows"`    // of all tables
	Changes int64     `json:"changes"` // the number of the last change; 0 when nothing ever changed
	Last    time.Time `json:"last"`    // when that was
	SHA256  string    `json:"sha256"`  // of all but the last line
}

// CheckBackup reads a backup to its end. ErrDamaged when it is not whole,
// ErrSchema when a newer program wrote it.
func CheckBackup(r io.Reader) (BackupInfo, error) {
	in := bufio.NewReaderSize(r, 1<<16)
	first, err := in.ReadBytes('\n')
	var head backupHead
	if err != nil || json.Unmarshal(first, &head) != nil || head.Format == 0 {
		return BackupInfo{}, fmt.Errorf("%w: the first line is not that of a backup", ErrDamaged)
	}
	c := checking{sum: sha256.New(), last: first}
	for line := int64(2); ; line++ {
		next, err := in.ReadBytes('\n')
		if errors.Is(err, io.EOF) && len(next) == 0 {
			break
		}
		if err != nil {
			return BackupInfo{}, fmt.Errorf("%w: line %d ends early: %w", ErrDamaged, line, err)
		}
		c.take(next)
	}
	var foot backupFoot
	if json.Unmarshal(c.last, &foot) != nil || foot.SHA256 != hex.EncodeToString(c.sum.Sum(nil)) || foot.Rows != c.rows {
		return BackupInfo{}, fmt.Errorf("%w: the checksum at the end does not fit", ErrDamaged)
	}
	info := BackupInfo{Schema: head.Schema, Rows: foot.Rows, SHA256: foot.SHA256}
	if head.Schema > Newest || head.Format != backupFormat {
		return info, &SchemaError{Have: head.Schema, Want: Newest, Format: head.Format}
	}
	return info, c.lastChange(&info)
}

// checking is what is known of the lines of a backup read so far. The last one
// is not summed: it may be the foot.
type checking struct {
	sum    hash.Hash
	last   []byte
	rows   int64
	log    bool   // within the change log
	change []byte // its last row
}

func (c *checking) take(next []byte) {
	c.sum.Write(c.last) // a hash never fails
	c.last = next
	if next[0] == '[' {
		c.rows++
		if c.log {
			c.change = next
		}
		return
	}
	c.log = bytes.HasPrefix(next, []byte(`{"table":"change"`))
}

func (c *checking) lastChange(info *BackupInfo) error {
	if c.change == nil {
		return nil
	}
	var row []json.RawMessage
	var at int64
	if err := json.Unmarshal(c.change, &row); err != nil || len(row) < 2 {
		return fmt.Errorf("%w: the last change is no row", ErrDamaged)
	}
	if err := errors.Join(json.Unmarshal(row[0], &info.Changes), json.Unmarshal(row[1], &at)); err != nil {
		return fmt.Errorf("%w: the last change: %w", ErrDamaged, err)
	}
	info.Last = time.UnixMilli(at).UTC()
	return nil
}
