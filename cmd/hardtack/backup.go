package main

import (
	"errors"
	"fmt"
	"os"

	"hardtack/api"
	"hardtack/db"
)

type backupCmd struct {
	Save    backupSaveCmd    `cmd:"" default:"withargs" help:"Write everything that is kept to one file."`
	Restore backupRestoreCmd `cmd:"" help:"Read a backup into an empty database, of either kind."`
}

// Help implements kong's HelpProvider.
func (backupCmd) Help() string {
	return `A backup is one file with its own checksum, the same from SQLite and PostgreSQL.
Taking one does not disturb others at work.

Example:
  hardtack backup save season.backup`
}

type backupSaveCmd struct {
	File string `arg:"" help:"The file to write; it appears whole or not at all."`
}

// Run writes the backup.
func (c *backupSaveCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		bar := sh.progress("backing up")
		defer bar.done()
		return s.Backup(sh.ctx, c.File)
	})
}

type backupRestoreCmd struct {
	File string `arg:"" help:"The backup."`
}

// Run restores the backup; a damaged one changes nothing.
func (c *backupRestoreCmd) Run(sh *shell) error {
	f, err := os.Open(c.File)
	if err != nil {
		return err
	}
	defer f.Close()
	return sh.openDB(func(d *db.DB) error {
		bar := sh.progress("restoring")
		defer bar.done()
		err := d.Restore(sh.ctx, f)
		if errors.Is(err, db.ErrDamaged) {
			return fmt.Errorf("%w: %s: %w", errRefused, c.File, err)
		}
		return err
	})
}
